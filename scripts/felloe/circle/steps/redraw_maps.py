"""Step: maps of redrawn participants, and of sorts without structure."""

from typing import Any

from felloe.circle.map.map_evidence import Effort, null_stress, redrawn_ellipses
from felloe.circle.map.pair_sample import pair_sample
from felloe.circle.map.rows import read_standing, write_ellipses, write_null_stress
from felloe.circle.settings import MapSettings
from felloe.clustering.replicates.reading import read_basis
from felloe.ground.files.records import read_json
from felloe.ground.randomness import Streams


def main(
    *,
    points: str,
    scaling: str,
    sorts: str,
    chart: str,
    study: str,
    seed: int,
    settings: dict[str, Any],
    ellipses: str,
    null: str,
    prior: float | None = None,
) -> None:
    """Redraw participants and lay their maps over the map; shuffle terms and map those."""
    asked, streams = MapSettings(**settings), Streams(seed, study)
    standing = read_standing(points, read_json(scaling), asked.ties)
    basis = read_basis(sorts, chart, standing.terms, "the map", prior)
    write_ellipses(ellipses, standing.terms, redrawn_ellipses(basis, standing, asked, streams))
    sample = pair_sample(len(standing.terms), asked.most_pairs, streams)
    fewer = Effort(asked.null_starts, asked.null_rounds, sample)
    found = null_stress(basis, standing.model, fewer, streams, asked.null_replicates)
    write_null_stress(null, found)
