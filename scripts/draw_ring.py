"""Step: the map, how well it follows the data, and the evidence of the ring."""

from felloe.circle.figure_map import draw_map
from felloe.circle.figure_ring import draw_ring as draw_evidence
from felloe.circle.figure_shepard import draw_shepard
from felloe.circle.tables import read_spans
from felloe.circle.views import map_view, ring_view, shepard_view
from felloe.colours.tables import COLOURS
from felloe.ground.drawing import save_figure


def main(
    *, map, map_record, shepard, dimensions, order, record, adjacency, colours, published, terms,
    map_figure, shepard_figure, ring_figure,
):  # fmt: skip
    """Read the finished numbers, draw three figures."""
    used = {row["term"]: row["used"] for row in COLOURS.read(colours) if row["tier"] == "class"}
    view = map_view(map, map_record, read_spans(order), used, published, terms)
    save_figure(draw_map(view), *map_figure, title="Map of terms")
    fit = shepard_view(view, map, shepard, dimensions)
    save_figure(draw_shepard(fit), *shepard_figure, title="How well the map follows the data")
    ring = ring_view(view, order, adjacency, record)
    save_figure(draw_evidence(ring), *ring_figure, title="Evidence of the order")


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
