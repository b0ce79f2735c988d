"""Step: the shortest circular order, its evidence, gaps, angles and pose."""

from typing import Any

from felloe.circle.map.rows import read_directions
from felloe.circle.record import adjacency_record, agreement_record, order_record
from felloe.circle.ring.layout import neighbours_around
from felloe.circle.ring.order import agreement_with_map, drawn_ring
from felloe.circle.ring.rows import (
    read_angles,
    read_class_neighbours,
    read_classes,
    read_outer_ring,
    read_renamed,
    read_widths,
    write_adjacency,
    write_order,
)
from felloe.circle.settings import CircleSettings
from felloe.clustering.tree_files import read_distances, read_tree
from felloe.ground.files.records import read_json, write_json
from felloe.ground.randomness import Streams
from felloe.tiers.tables import EVIDENCE, PLACES


def main(
    *,
    places: str,
    evidence: str,
    tree: str,
    linkage: str,
    distances: str,
    sectors: str,
    class_neighbours: str,
    points: str,
    map_record: str,
    older: str | list[str],
    older_study: str | None,
    study: str,
    seed: int,
    settings: dict[str, Any],
    order: str,
    order_data_only: str,
    record: str,
    classes: str,
) -> None:
    """Order both charts, lay them out in one pose, write the evidence."""
    apart, streams = read_distances(distances), Streams(seed, study)
    asked = CircleSettings(**settings)
    widths = read_widths(sectors, asked.sector_width)
    outer = read_outer_ring(PLACES, places, read_tree(tree), apart, widths)
    of_data = read_outer_ring(EVIDENCE, evidence, read_tree(linkage), apart, widths)
    previous = read_angles(str(older), read_renamed(sectors)) if older else None
    ring = drawn_ring(outer, streams, asked, previous)
    write_order(order, outer, ring.layout)
    ring_of_data = drawn_ring(of_data, streams, asked, previous or read_angles(order))
    write_order(order_data_only, of_data, ring_of_data.layout)
    support = read_class_neighbours(class_neighbours, read_classes(places).ids)
    pairs = neighbours_around(outer, ring.layout)
    write_adjacency(classes, support, pairs)
    agreement = agreement_with_map(ring, read_directions(points), streams, asked.permutations)
    beside = agreement_record(agreement, read_json(map_record), asked.agreement_p)
    sure = adjacency_record(support, pairs, asked)
    write_json(record, order_record(asked, ring, ring_of_data, sure, beside, older_study))


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
