"""Step: the map, how well it follows the data, and the evidence of the ring."""

from collections.abc import Sequence

from felloe.circle.map.figure_map import draw_map
from felloe.circle.map.figure_shepard import draw_shepard
from felloe.circle.map.views import map_view, ring_view, shepard_view
from felloe.circle.ring.figure_ring import draw_ring as draw_evidence
from felloe.circle.tables import read_spans
from felloe.colours.tables import COLOURS
from felloe.comparison.chart import read_chart_source
from felloe.comparison.provisional_words import marked
from felloe.ground.drawing import save_figure, use_fonts


def main(
    *,
    map: str,
    map_record: str,
    shepard: str,
    dimensions: str,
    order: str,
    record: str,
    adjacency: str,
    colours: str,
    published: str,
    terms: str,
    whose: str,
    map_figure: list[str],
    shepard_figure: list[str],
    ring_figure: list[str],
    preview: bool = False,
    fonts: Sequence[str] = (),
) -> None:
    """Read the finished numbers, draw three figures."""
    use_fonts(fonts)
    used = {row["term"]: row["used"] for row in COLOURS.read(colours) if row["tier"] == "class"}
    provisional = read_chart_source(whose).provisional
    view = map_view(map, map_record, read_spans(order), used, published, terms, provisional)
    drawn = (
        (draw_map(view), map_figure, "Map of terms"),
        (
            draw_shepard(shepard_view(view, map, shepard, dimensions)),
            shepard_figure,
            "How well the map follows the data",
        ),
        (
            draw_evidence(ring_view(view, order, adjacency, record)),
            ring_figure,
            "Evidence of the order",
        ),
    )
    for figure, paths, title in drawn:
        save_figure(figure, paths, marked(title, provisional), preview=preview)
