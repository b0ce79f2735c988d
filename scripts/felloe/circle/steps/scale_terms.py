"""Step: the map of terms, from their distances alone."""

from typing import Any

from felloe.circle.map.map_evidence import (
    Effort,
    dimension_curve,
    restart_agreement,
    saturated_share,
    shown_map,
)
from felloe.circle.map.pair_sample import pair_sample
from felloe.circle.map.rows import write_points, write_shepard
from felloe.circle.record import scaling_record
from felloe.circle.settings import MapSettings
from felloe.circle.tables import DIMENSIONS
from felloe.clustering.tree_files import read_distances
from felloe.ground.files.records import write_json
from felloe.ground.randomness import Streams


def main(
    *,
    distances: str,
    study: str,
    seed: int,
    settings: dict[str, Any],
    points: str,
    record: str,
    shepard: str,
    dimensions: str,
) -> None:
    """Scale, write; a degenerate ordinal map is given up for the metric one."""
    apart, asked = read_distances(distances), MapSettings(**settings)
    streams = Streams(seed, study)
    found, given_up = shown_map(apart, asked, streams)
    sample = pair_sample(len(apart.terms), asked.most_pairs, streams)
    fewer = Effort(asked.null_starts, asked.null_rounds, sample)
    rng = streams.generator("map-dimensions")
    curve = dimension_curve(apart, found.model, fewer, rng, asked.most_dimensions)
    write_points(points, found)
    write_shepard(shepard, found)
    DIMENSIONS.write(dimensions, curve)
    agreement, saturated = restart_agreement(found), saturated_share(apart)
    write_json(record, scaling_record(asked, found, given_up, agreement, saturated))
