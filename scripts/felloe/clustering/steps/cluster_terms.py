"""Step: the distances of the chart, their tree, and how tree-like they are."""

from felloe.clustering.tree_files import write_delta, write_distances, write_tree
from felloe.clustering.tree_likeness import delta_of_terms
from felloe.comparison.chart import read_chart_source
from felloe.ground.groups.tree import tree_of
from felloe.ground.randomness import Streams
from felloe.matrices.distances import chart_distances
from felloe.matrices.tables import read_all_counts


def main(
    *,
    together: list[str],
    both: list[str],
    chart: str,
    study: str,
    seed: int,
    populations: list[str],
    method: str,
    distances: str,
    linkage: str,
    delta: str,
    prior: float | None = None,
) -> None:
    """Write the chart's distances, its linkage and the delta scores."""
    counts = read_all_counts(populations, together, both, prior)
    source = read_chart_source(chart)
    apart = chart_distances(counts, source.source, source.weights)
    write_distances(distances, apart)
    write_tree(linkage, tree_of(apart, method))
    write_delta(delta, apart.terms, delta_of_terms(apart.D, Streams(seed, study)))
