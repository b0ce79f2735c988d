"""Step: each population's own chart, in the colours of the published one."""

from collections.abc import Sequence

from felloe.circle.own.figure_own_charts import draw_own_charts
from felloe.circle.own.own_chart_words import TITLE
from felloe.colours.own_charts import own_chart_rows, own_charts_view
from felloe.colours.tables import OWN_CHARTS
from felloe.comparison.provisional_words import marked
from felloe.ground.drawing import save_figure, use_fonts
from felloe.matrices.tables import read_all_counts


def main(
    *,
    together: list[str],
    both: list[str],
    populations: list[str],
    published: str,
    order: str,
    method: str,
    gaps: dict[str, float],
    table: str,
    svg: str,
    pdf: str,
    png: str,
    preview: bool = False,
    prior: float | None = None,
    fonts: Sequence[str] = (),
    **files: str,
) -> None:
    """Chart every population alone, write who stands where, draw the rings side by side."""
    use_fonts(fonts)
    counts = read_all_counts(populations, together, both, prior)
    rows = own_chart_rows(counts, published, order, method, gaps)
    OWN_CHARTS.write(table, rows)
    view = own_charts_view(rows, published=published, **files)
    title = marked(TITLE, view.provisional)
    save_figure(draw_own_charts(view), (svg, pdf, png), title, preview=preview)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
