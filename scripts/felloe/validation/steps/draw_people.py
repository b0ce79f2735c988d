"""Step: the figures about the people, how stable and how coarse their sorts are."""

from collections.abc import Sequence

from felloe.ground.drawing import save_figure, use_fonts
from felloe.ground.files.records import read_json
from felloe.validation.labels import labels_with_all
from felloe.validation.screened.figure_granularity import draw_granularity, granularity_view
from felloe.validation.stability.figure_reliability import draw_stability, stability_view
from felloe.validation.stability.planning import expected_curve
from felloe.validation.tables import PARTICIPANTS, STABILITY, TERMS


def main(
    *,
    participants: str,
    terms: str,
    about: str,
    table: str,
    record: str,
    smallest_cell: int,
    stability_figure: list[str],
    granularity_figure: list[str],
    preview: bool = False,
    fonts: Sequence[str] = (),
) -> None:
    """Read what was measured, draw both figures."""
    use_fonts(fonts)
    study, facts = read_json(about), read_json(record)
    labels, partial = study["populations"], study.get("partial", False)
    everybody = facts["plans"][-1]
    expected = expected_curve(everybody["participants"], everybody["reliability"])
    stability = stability_view(STABILITY.read(table), facts, labels_with_all(labels), expected)
    people, n_terms = PARTICIPANTS.read(participants), len(TERMS.read(terms))
    granularity = granularity_view(people, labels, n_terms, smallest_cell, partial)
    for title, drawing, paths in (
        ("Stability", draw_stability(stability), stability_figure),
        ("Granularity", draw_granularity(granularity), granularity_figure),
    ):
        save_figure(drawing, paths, title=title, preview=preview)
