"""Step: the map of terms, and what it is worth."""

from typing import Any

from felloe.circle.map.map_evidence import (
    Effort,
    dimension_curve,
    null_stress,
    redrawn_ellipses,
    restart_agreement,
    saturated_share,
    shown_map,
)
from felloe.circle.record import map_record
from felloe.circle.settings import MapSettings
from felloe.circle.tables import DIMENSIONS, write_map, write_shepard
from felloe.clustering.replicates.reading import read_basis
from felloe.clustering.tree_files import read_distances
from felloe.ground.files.records import write_json
from felloe.ground.randomness import Streams


def main(
    *,
    distances: str,
    sorts: str,
    chart: str,
    study: str,
    seed: int,
    settings: dict[str, Any],
    map: str,
    record: str,
    shepard: str,
    dimensions: str,
) -> None:
    """Scale, judge, write; a degenerate ordinal map is given up for the metric one."""
    apart, asked = read_distances(distances), MapSettings(**settings)
    streams = Streams(seed, study)
    basis = read_basis(sorts, chart, apart.terms, "the distances")
    found, given_up = shown_map(apart, asked, streams)
    fewer = Effort(asked.null_starts, asked.null_rounds)
    null = null_stress(basis, found.model, fewer, streams, asked.null_replicates)
    rng = streams.generator("map-dimensions")
    curve = dimension_curve(apart, found.model, fewer, rng, asked.most_dimensions)
    write_map(map, found, redrawn_ellipses(basis, found, asked, streams))
    write_shepard(shepard, found)
    DIMENSIONS.write(dimensions, curve)
    agreement, saturated = restart_agreement(found), saturated_share(apart)
    write_json(record, map_record(asked, found, given_up, agreement, null, saturated))


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
