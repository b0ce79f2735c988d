"""Step: the figures about the people and about their populations."""

from collections.abc import Sequence
from typing import Any

from felloe.comparison.steps import draw_populations
from felloe.validation.steps import draw_people


def main(
    *,
    lexicon: str,
    about: str,
    participants: str,
    stability: str,
    stability_record: str,
    smallest_cell: int,
    stability_figure: list[str],
    granularity_figure: list[str],
    pdf: bool,  # the paths say it; here so that the ledger does
    preview: bool = False,
    fonts: Sequence[str] = (),
    **populations: Any,
) -> None:
    """Draw how stable and how coarse the sorts are, then the populations compared."""
    shared: dict[str, Any] = {"about": about, "preview": preview, "fonts": fonts}
    draw_people.main(
        **shared,
        terms=lexicon,
        participants=participants,
        table=stability,
        record=stability_record,
        smallest_cell=smallest_cell,
        stability_figure=stability_figure,
        granularity_figure=granularity_figure,
    )
    draw_populations.main(**shared, lexicon=lexicon, **populations)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
