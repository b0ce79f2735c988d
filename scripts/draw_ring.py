"""Step: the map, how well it follows the data, and the evidence of the ring."""

import numpy as np
from felloe.circle.figure_map import MapView, draw_map
from felloe.circle.figure_ring import RingView
from felloe.circle.figure_ring import draw_ring as draw_evidence
from felloe.circle.figure_shepard import ShepardView, draw_shepard
from felloe.circle.map_tables import read_points
from felloe.circle.tables import read_spans
from felloe.ground.drawing import save_figure
from felloe.ground.records import read_json
from felloe.ground.tables import number, read_table


def main(
    *, map, map_record, shepard, dimensions, order, record, adjacency, colours, published, terms,
    map_figure, shepard_figure, ring_figure,
):  # fmt: skip
    """Read the finished numbers, draw three figures."""
    view = map_view(map, map_record, order, colours, published, terms)
    save_figure(draw_map(view), *map_figure, title="Map of terms")
    pairs = read_table(shepard)
    columns = ("dissimilarity", "distance", "disparity")
    curve = [(int(row["dimensions"]), number(row["stress_1"])) for row in read_table(dimensions)]
    misfit = read_points(map)[1]["stress_percent"]
    fit = ShepardView(
        *(np.array([number(row[name]) for row in pairs]) for name in columns),
        curve,
        view.labels,
        misfit,
        view.record,
    )
    save_figure(draw_shepard(fit), *shepard_figure, title="How well the map follows the data")
    support = {
        frozenset((row["class"], row["other_class"])): number(row["support"])
        for row in read_table(adjacency)
    }
    ring = RingView(read_spans(order), support, view, read_json(record))
    save_figure(draw_evidence(ring), *ring_figure, title="Evidence of the order")


def map_view(map_path, map_record, order, colours, published, terms):
    """Put the map together with labels, classes and colours."""
    known, columns = read_points(map_path)
    words = {row["term"]: row["label"] for row in read_table(terms)}
    tiers = {row["term"]: row for row in read_table(published)}
    used = {row["term"]: row["used"] for row in read_table(colours) if row["tier"] == "class"}
    names = {row["class"]: row["class_name"] for row in tiers.values()}
    around = list(read_spans(order))
    return MapView(
        tuple(words[term] for term in known),
        np.column_stack([columns["x"], columns["y"]]),
        np.column_stack([columns["ellipse_x"], columns["ellipse_y"]]),
        np.column_stack([columns["ellipse_major"], columns["ellipse_minor"]]),
        columns["ellipse_tilt_deg"],
        tuple(tiers[term]["class"] for term in known),
        {name: names[name] for name in around},
        used,
        read_json(map_record),
    )


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
