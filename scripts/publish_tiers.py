"""Step: name the groups, replay the committee's decisions, price them, write both charts."""

from felloe.clustering.redraws import make_basis, redraw_trees
from felloe.clustering.replicate_trees import cuts
from felloe.clustering.tables import read_linkage, write_tree
from felloe.comparison.chart import read_chart_source
from felloe.ground.randomness import Streams
from felloe.ground.tables import read_square, read_table
from felloe.ground.tree import Tree
from felloe.tiers.decisions import replay
from felloe.tiers.publishing import class_shares, named_charts
from felloe.tiers.tables import (
    read_decisions,
    read_evidence,
    write_decisions,
    write_groups,
    write_tiers,
)
from felloe.validation.tables import read_analysed


def main(
    *, evidence, terms, names, decisions, distances, linkage, support, sorts, chart, study, seed,
    method, order_freedom, replicates, unfit_names, data_only, published, decided, groups, tree,
):  # fmt: skip
    """Read, replay, name, write."""
    known, D = read_evidence(evidence, terms), read_square(distances)[1]
    rows, moves = read_decisions(decisions, known.terms)
    Z, tiers = read_linkage(linkage), (known.classes, known.subclasses)
    publication = replay(Z, *tiers, D, moves, order_freedom, method == "ward")
    shares = None
    if publication.moved.any():
        read, chart = read_analysed(sorts), read_chart_source(chart)
        basis = make_basis(read.piles, read.populations, chart.source, chart.weights)
        drawn = redraw_trees(basis, method, Streams(seed, study), range(replicates))
        number = int(known.classes.max()) + 1
        shares = class_shares(cuts(drawn, [number])[number], known.classes)
    of_data, of_committee = named_charts(known, publication, read_table(names), D, unfit_names)
    write_tiers(data_only, known, of_data)
    write_tiers(published, known, of_committee, publication, shares)
    write_decisions(decided, rows, publication, known, of_data, shares)
    write_groups(groups, known, of_data, of_committee, support)
    write_tree(tree, Tree(known.terms, publication.Z))


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
