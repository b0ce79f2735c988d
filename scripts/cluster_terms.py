"""Step: the distances of the chart, their tree, and how tree-like they are."""

import numpy as np
from felloe.clustering.tables import write_tree
from felloe.clustering.tree_likeness import delta_scores
from felloe.comparison.chart import read_chart_source
from felloe.ground.distances import Distances
from felloe.ground.tables import write_square, write_table
from felloe.ground.tree import tree_of
from felloe.matrices.distances import chart_dissimilarity
from felloe.validation.tables import read_analysed


def main(*, sorts, chart, method, distances, linkage, delta):
    """Write the chart's distances, its linkage and the delta scores."""
    study = read_analysed(sorts)
    chart = read_chart_source(chart)
    apart = chart_dissimilarity(study.piles, study.populations, chart.source, chart.weights)
    write_square(distances, study.terms, apart)
    write_tree(linkage, tree_of(Distances(study.terms, apart), method))
    _, of_terms = delta_scores(apart)
    order = np.argsort(-np.round(of_terms, 9), kind="stable")
    write_table(delta, ["term", "delta"], [(study.terms[one], of_terms[one]) for one in order])


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
