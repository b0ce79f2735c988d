"""The rows of the dossier's tables."""

from collections.abc import Iterator, Mapping

import numpy as np

from felloe.comparison.consequence import TIERS, places_by_first_term
from felloe.comparison.dossier import EQUAL, Comparison, Dossier
from felloe.comparison.exchanging.term_differences import pair_differences
from felloe.comparison.tables import CONSEQUENCE, PAIRS, SPLITS, TERMS, TREES
from felloe.ground.arrays import Bools
from felloe.ground.files.newick import Node, newick, tree_of_linkage
from felloe.ground.files.tables import Row
from felloe.ground.people.counts import Counts
from felloe.ground.people.sorts import POOLED
from felloe.ground.squares import upper
from felloe.ground.terms import Terms, check_same


def write_tables(dossier: Dossier, counts: Mapping[str, Counts], paths: Mapping[str, str]) -> None:
    """
    Write every table of the dossier; those of a pair tell of the decisive one, if there is one.

    Parameters
    ----------
    dossier : felloe.comparison.dossier.Dossier
    counts : mapping of str to Counts
        Of every population.
    paths : mapping of str to str
        `terms`, `trees`, `pairs`, `splits`, `consequence`.
    """
    pair = dossier.decisive
    TREES.write(paths["trees"], tree_rows(dossier))
    CONSEQUENCE.write(
        paths["consequence"], consequence_rows(dossier), list(groups_of_charts(dossier))
    )
    TERMS.write(paths["terms"], term_rows(pair) if pair else ())
    SPLITS.write(paths["splits"], split_rows(pair) if pair else ())
    PAIRS.write(
        paths["pairs"],
        pair_rows(pair, *(counts[name] for name in pair.populations)) if pair else (),
    )


def groups_of_charts(dossier: Dossier) -> dict[str, tuple[str, ...]]:
    """Return the id of each term's group in every chart and tier, keyed by column."""
    own = [name for name in dossier.charts if name not in (POOLED, EQUAL)]
    return {
        f"{tier}_{name}": groups.of_terms
        for name in [*own, POOLED, EQUAL]
        for tier, groups in zip(TIERS, dossier.charts[name].tiers, strict=True)
    }


def consequence_rows(dossier: Dossier) -> Iterator[Row]:
    """Return every term's place in the pooled tree, whether it changes, and its groups."""
    tree = dossier.charts[POOLED].tree
    groups = groups_of_charts(dossier)
    changes = {
        f"changes_{tier}": changing(dossier, place, tree.terms) for place, tier in enumerate(TIERS)
    }
    for row, (term, position) in enumerate(zip(tree.terms, places_by_first_term(tree))):
        yield {
            "term": term,
            "position": position,
            **{name: bool(changed[row]) for name, changed in changes.items()},
            **{name: ids[row] for name, ids in groups.items()},
        }


def changing(dossier: Dossier, tier: int, terms: Terms) -> Bools:
    """Return the terms that change group between the charts of any two populations."""
    changes = np.zeros(len(terms), dtype=bool)
    for comparison in dossier.comparisons:
        changes |= comparison.found.tiers[tier].changes
    return changes


def term_rows(comparison: Comparison) -> Iterator[Row]:
    """Return the differences of one pair of populations, term by term."""
    plain, shape = comparison.found.people.tests.terms, comparison.found.people.shape
    for place, term in enumerate(comparison.found.terms):
        yield {
            "term": term,
            "difference": plain.terms[place],
            "p_maxT": shape.p_terms[place],
            "excess": shape.excess[place],
            "p_maxT_unrestricted": plain.p_terms[place],
        }


def pair_rows(
    comparison: Comparison, one: Counts, other: Counts
) -> Iterator[tuple[str | float, ...]]:
    """
    Return the differences of one pair of populations, for every pair of terms, by `PAIRS`.

    Parameters
    ----------
    comparison : felloe.comparison.dossier.Comparison
    one, other : Counts
        Of the first and of the second population.

    Raises
    ------
    felloe.ground.terms.DifferentTerms
        If comparison and counts are not about the same terms in the same order.
    """
    terms, tests = comparison.found.terms, comparison.found.people.tests
    check_same(terms, one.terms, "the comparison", "the counts")
    found = pair_differences(one, other, tests.terms)
    told = (
        found.share_first, found.share_second, found.difference, found.low, found.high,
        found.p, found.q_bh, found.q_by,
    )  # fmt: skip
    rows, columns = (places.tolist() for places in upper(len(terms)))
    for row, column, *numbers in zip(rows, columns, *(one.tolist() for one in told), strict=True):
        yield (terms[row], terms[column], *numbers)


def split_rows(comparison: Comparison) -> Iterator[Row]:
    """Return what random splits of the people of one pair of populations give."""
    people = comparison.found.people
    for split, (class_changes, subclass_changes) in enumerate(people.split_changes.tolist()):
        yield {
            "split": split,
            "r": people.noise.split_correlations[split],
            "class_changes": class_changes,
            "subclass_changes": subclass_changes,
        }


def without_labels(node: Node) -> Node:
    """Return a tree whose inner nodes bear no label."""
    children = tuple(without_labels(child) for child in node.children)
    return Node(node.label if not children else "", node.length, children)


def tree_rows(dossier: Dossier) -> Iterator[Row]:
    """Return the tree of every chart in Newick, without supports."""
    for name, chart in dossier.charts.items():
        tree = chart.tree
        node = tree_of_linkage(tree.Z, tree.terms, [0.0] * len(tree.Z))
        yield {"chart": name, "newick": newick(without_labels(node))}
