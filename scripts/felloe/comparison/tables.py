"""The tables of the pooling dossier."""

import numpy as np

from felloe.comparison.consequence import group_names, leaf_order
from felloe.comparison.pair_record import TIERS
from felloe.comparison.study_dossier import EQUAL, POOLED
from felloe.comparison.term_differences import newcombe_interval
from felloe.ground.newick import Node, newick, tree_of_linkage
from felloe.ground.tables import Column, Table

TERMS = Table(
    "comparison/terms.csv",
    "How differently two populations place each term.",
    (
        Column("term", "id", "term"),
        Column(
            "difference",
            "share",
            "mean absolute difference between the populations' shares of people who put the "
            "term together with each other term",
        ),
        Column("p_maxT", "probability", "permutation p, corrected for the number of terms (max-T)"),
        Column("difference_adjusted", "share", "the same beyond what goes with granularity"),
        Column(
            "p_maxT_adjusted", "probability", "its permutation p, corrected for the number of terms"
        ),
    ),
)

TREES = Table(
    "comparison/trees.csv",
    "The tree of each chart that is compared.",
    (
        Column(
            "chart",
            "id",
            "population, or pooled, whose tree it is; with +equal every population weighs the same",
        ),
        Column("newick", "text", "the tree in Newick, without supports"),
    ),
)

PAIRS = Table(
    "comparison/pairs.csv",
    "How differently two populations place each pair of terms.",
    (
        Column("term_a", "id", "first term of the pair"),
        Column("term_b", "id", "second term of the pair"),
        Column("share_first", "share", "share of the first population who put the two together"),
        Column("share_second", "share", "share of the second population"),
        Column("difference", "share", "first less second"),
        Column("low", "share", "lower end of the difference's 95 % interval"),
        Column("high", "share", "upper end of the interval"),
        Column("p", "probability", "permutation p of the difference"),
        Column("q_BH", "probability", "false discovery rate, Benjamini and Hochberg"),
        Column("q_BY", "probability", "false discovery rate, Benjamini and Yekutieli"),
    ),
)

SPLITS = Table(
    "comparison/splits.csv",
    "How well random divisions of all participants agree.",
    (
        Column(
            "split",
            "count",
            "random division of all people into groups of the populations' sizes, from 0",
            unit="number",
        ),
        Column("r", "number", "correlation of the two groups' matrices", unit="correlation"),
        Column(
            "class_changes",
            "count",
            "terms that change class between the two groups' charts",
            unit="terms",
        ),
        Column("subclass_changes", "count", "terms that change subclass", unit="terms"),
    ),
)

CONSEQUENCE = Table(
    "comparison/consequence.csv",
    "The groups of each term in the charts that are compared.",
    (
        Column("term", "id", "term"),
        Column("position", "count", "place in the tree of all people, from 1", unit="rank"),
        Column(
            "changes_class",
            "yes/no",
            "whether its class differs between the populations' own charts",
        ),
        Column("changes_subclass", "yes/no", "whether its subclass differs"),
    ),
    others=Column(
        "*",
        "id",
        "one column per chart and tier: the group of the term in that chart",
        unit="class id",
    ),
)

TABLES = (
    TERMS,
    TREES,
    PAIRS,
    SPLITS,
    CONSEQUENCE,
)


def consequence_table(study, terms):
    """
    Return the table of every term's class and subclass in each chart.

    Parameters
    ----------
    study : felloe.comparison.study_dossier.StudyDossier
    terms : sequence of str

    Returns
    -------
    columns : list of str
    rows : list of dict
        In sorted order of terms; `position` is the place in the pooled tree, from 1.
    """
    names = [name for name in study.charts if name not in (POOLED, EQUAL)] + [POOLED, EQUAL]
    columns = ["term", "position", "changes_class", "changes_subclass"]
    positions = np.argsort(leaf_order(study.charts[POOLED].tree), kind="stable") + 1
    rows = [{"term": term, "position": int(at)} for term, at in zip(terms, positions, strict=True)]
    for number, tier in enumerate(TIERS):
        changes = np.zeros(len(terms), dtype=bool)
        for comparison in study.comparisons:
            changes |= comparison.dossier.tiers[number].changes
        for row, changing in zip(rows, changes.tolist(), strict=True):
            row[f"changes_{tier}"] = changing
    for name in names:
        for tier, labels in zip(TIERS, (study.charts[name].classes, study.charts[name].subclasses)):
            columns.append(f"{tier}_{name}")
            for row, group in zip(rows, group_names(labels, terms), strict=True):
                row[f"{tier}_{name}"] = group
    return columns, rows


def terms_table(comparison, terms):
    """Return columns and rows of the differences per term of one pair, or none for None."""
    columns = ["term", "difference", "p_maxT", "difference_adjusted", "p_maxT_adjusted"]
    if comparison is None:
        return columns, []
    plain, adjusted = comparison.dossier.people.terms, comparison.dossier.people.terms_adjusted
    rows = zip(terms, plain.terms, plain.p_terms, adjusted.terms, adjusted.p_terms, strict=True)
    return columns, rows


def pairs_table(comparison, terms, counts):
    """
    Return columns and rows of the differences per pair of terms.

    Parameters
    ----------
    comparison : Comparison or None
    terms : sequence of str
    counts : two pairs of (n_terms, n_terms) array of int
        `together` and `both` of the first and of the second population.
    """
    from scipy.stats import false_discovery_control

    columns = ["term_a", "term_b", "share_first", "share_second", "difference"]
    columns += ["low", "high", "p", "q_BH", "q_BY"]
    if comparison is None:
        return columns, []
    upper = np.triu_indices(len(terms), 1)
    (together_a, both_a), (together_b, both_b) = (
        (together[upper], np.maximum(both[upper], 1)) for together, both in counts
    )
    low, high = newcombe_interval(together_a, both_a, together_b, both_b)
    tested = comparison.dossier.people.terms
    names = np.asarray(terms, dtype=object)
    return columns, zip(
        names[upper[0]],
        names[upper[1]],
        together_a / both_a,
        together_b / both_b,
        tested.pairs,
        np.round(low, 9),
        np.round(high, 9),
        tested.p_pairs,
        false_discovery_control(tested.p_pairs, method="bh"),
        false_discovery_control(tested.p_pairs, method="by"),
        strict=True,
    )


def splits_table(comparison):
    """Return columns and rows of the random splits of one pair, or none for None."""
    columns = ["split", "r", "class_changes", "subclass_changes"]
    if comparison is None:
        return columns, []
    people = comparison.dossier.people
    return columns, (
        [number, r, *changes]
        for number, (r, changes) in enumerate(
            zip(people.split_correlations.tolist(), people.split_changes.tolist(), strict=True)
        )
    )


def without_labels(node):
    """Return a tree whose inner nodes bear no label."""
    children = tuple(without_labels(child) for child in node.children)
    return Node(node.label if not children else "", node.length, children)


def trees_table(study, terms):
    """Return the tree of every chart in Newick, without supports: columns and rows."""
    trees = (
        (name, without_labels(tree_of_linkage(chart.tree, terms, [0.0] * len(chart.tree))))
        for name, chart in study.charts.items()
    )
    return ["chart", "newick"], [(name, newick(node)) for name, node in trees]
