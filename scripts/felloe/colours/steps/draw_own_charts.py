"""Step: each population's own chart, in the colours of the published one."""

from collections.abc import Sequence

from felloe.circle.own.figure_own_charts import draw_own_charts
from felloe.circle.own.own_chart_words import TITLE
from felloe.colours.own_charts import own_charts_view
from felloe.colours.tables import OWN_CHARTS
from felloe.comparison.provisional_words import marked
from felloe.ground.drawing import save_figure, use_fonts


def main(
    *,
    table: str,
    published: str,
    colours: str,
    terms: str,
    about: str,
    dossier: str,
    whose: str,
    own_charts_figure: list[str],
    preview: bool = False,
    fonts: Sequence[str] = (),
) -> None:
    """Draw the rings side by side."""
    use_fonts(fonts)
    view = own_charts_view(
        OWN_CHARTS.read(table),
        published=published,
        colours=colours,
        terms=terms,
        about=about,
        dossier=dossier,
        whose=whose,
    )
    title = marked(TITLE, view.provisional)
    save_figure(draw_own_charts(view), own_charts_figure, title, preview=preview)
