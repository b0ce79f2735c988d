"""Step: name the groups, replay the committee's decisions, price them, write both charts."""

from felloe.clustering.tree_files import read_distances, read_tree, write_tree
from felloe.tiers.decisions import FitRule, replay
from felloe.tiers.publishing import named_charts
from felloe.tiers.rows import (
    read_class_shares,
    read_data_chart,
    read_decisions,
    read_names,
    read_supports,
    write_charts,
    write_decisions,
    write_groups,
)


def main(
    *,
    evidence: str,
    terms: str,
    names: str,
    decisions: str,
    distances: str,
    linkage: str,
    support: str,
    class_shares: str,
    method: str,
    order_freedom: str,
    unfit_names: str,
    data_only: str,
    published: str,
    places: str,
    decided: str,
    groups: str,
    tree: str,
) -> None:
    """Read, replay, name, write."""
    known, apart = read_data_chart(evidence, terms), read_distances(distances)
    of_data, rule = read_tree(linkage), FitRule(order_freedom, method)
    publication = replay(of_data, known.tiers, apart, read_decisions(decisions), rule)
    shares = read_class_shares(class_shares, known.tiers.classes)
    named = named_charts(known, publication, read_names(names), apart, unfit_names)
    paths = {"data_only": data_only, "published": published, "places": places}
    write_charts(paths, known, named, publication, shares)
    write_decisions(decided, publication, shares)
    write_groups(groups, named, read_supports(support))
    write_tree(tree, publication.tree)
