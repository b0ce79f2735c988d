"""Step: both populations' matrices, the noise ceiling and the terms that differ."""

from collections.abc import Sequence

from felloe.comparison.figures import draw_populations, view_of
from felloe.comparison.tables import CONSEQUENCE, SPLITS
from felloe.comparison.tables import TERMS as DIFFERENCES
from felloe.ground.drawing import save_figure, use_fonts
from felloe.ground.files.records import read_json
from felloe.matrices.tables import read_all_counts
from felloe.validation.tables import TERMS


def main(
    *,
    populations: str,
    terms: str,
    splits: str,
    consequence: str,
    together: list[str],
    both: list[str],
    counted: list[str],
    pooling: str,
    lexicon: str,
    about: str,
    populations_figure: list[str],
    preview: bool = False,
    fonts: Sequence[str] = (),
) -> None:
    """Read the dossier and the counts, draw the figure."""
    use_fonts(fonts)
    counts = read_all_counts(counted, together, both)
    tables = {
        "terms": DIFFERENCES.read(terms),
        "splits": SPLITS.read(splits),
        "consequence": CONSEQUENCE.read(consequence),
    }
    labels = {row["term"]: row["label"] or row["term"] for row in TERMS.read(lexicon)}
    called = read_json(about)["populations"]
    override = None if pooling == "decide" else pooling
    view = view_of(read_json(populations), counts, tables, labels, called, override)
    drawn = draw_populations(view)
    save_figure(drawn, populations_figure, title="Populations compared", preview=preview)
