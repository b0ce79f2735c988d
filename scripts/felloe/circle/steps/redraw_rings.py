"""Step: how often classes are neighbours around the circles of redrawn participants."""

from felloe.circle.ring.adjacency import Redraws, adjacency
from felloe.circle.ring.rows import read_classes, read_ring_terms, write_class_neighbours
from felloe.clustering.replicates.reading import read_basis
from felloe.ground.randomness import Streams


def main(
    *,
    places: str,
    sorts: str,
    chart: str,
    study: str,
    seed: int,
    method: str,
    replicates: int,
    neighbours: str,
    prior: float | None = None,
) -> None:
    """Redraw, order each anew, count, write."""
    classes = read_classes(places)
    basis = read_basis(sorts, chart, classes.terms, "the tiers", prior)
    redraws = Redraws(basis, method, Streams(seed, study), replicates)
    write_class_neighbours(neighbours, adjacency(redraws, classes, read_ring_terms(places)))
