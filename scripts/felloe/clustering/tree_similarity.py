"""How alike two trees are on the terms that both of them hold."""

from dataclasses import dataclass

import numpy as np

from felloe.ground.arrays import Floats
from felloe.ground.correlation import average_ranks, correlation
from felloe.ground.groups.linkage import cophenetic
from felloe.ground.rounding import HEIGHT_DECIMALS
from felloe.ground.squares import condensed


@dataclass(frozen=True)
class TreeSimilarity:
    """
    Agreement of two trees on their common terms.

    Attributes
    ----------
    cophenetic_correlation : float
        Pearson correlation of the heights at which pairs of terms join, -1 to 1.
    bakers_gamma : float
        Rank correlation of the same, -1 to 1.
    robinson_foulds : int
        Number of clades that only one of the two trees holds.
    robinson_foulds_share : float
        The same as a share of the clades of both, 0 to 1; nan where neither has a clade.
    """

    cophenetic_correlation: float
    bakers_gamma: float
    robinson_foulds: int
    robinson_foulds_share: float


def joining_heights(Z: Floats) -> Floats:
    """
    Return the height at which each two terms join in a tree.

    Parameters
    ----------
    Z : (n_terms - 1, 4) array of float

    Returns
    -------
    (n_terms, n_terms) array of float
        Symmetric, zero diagonal, rounded to `HEIGHT_DECIMALS`.
    """
    heights: Floats = np.round(cophenetic(Z), HEIGHT_DECIMALS)
    return heights


def clades(heights: Floats) -> set[frozenset[int]]:
    """
    Return the groups of terms that a tree holds together.

    Parameters
    ----------
    heights : (n_terms, n_terms) array of float
        Joining heights of a tree, or of some of its terms: what is left of it without the others.

    Returns
    -------
    set of frozenset of int
        Groups of at least two terms and not of all of them. Merges at one height are one merge.
    """
    n_terms = len(heights)
    groups: set[frozenset[int]] = set()
    for i, row in enumerate(heights):
        others = np.delete(row, i)
        for height in np.unique(others):
            group = frozenset(np.flatnonzero(row <= height).tolist()) | {i}
            if len(group) < n_terms:
                groups.add(group)
    return groups


def compare_trees(heights_a: Floats, heights_b: Floats) -> TreeSimilarity:
    """
    Compare two trees on the same terms.

    Parameters
    ----------
    heights_a, heights_b : (n_terms, n_terms) array of float
        Joining heights (`joining_heights`) cut down to the common terms, in one order; at
        least 3 terms.

    Returns
    -------
    TreeSimilarity
        The rank correlation takes merges at one height as one stage, so that it does not
        depend on how ties were broken.

    Raises
    ------
    ValueError
        If the two are not on the same number of terms, or on fewer than 3.

    References
    ----------
    Sokal & Rohlf (1962), Taxon 11:33-40. Baker (1974), Journal of the American Statistical
    Association 69:440-445. Robinson & Foulds (1981), Mathematical Biosciences 53:131-147.
    (Pages from memory.)
    """
    if heights_a.shape != heights_b.shape or len(heights_a) < 3:
        raise ValueError(f"trees of {len(heights_a)} and {len(heights_b)} terms can't be compared")
    pairs_a, pairs_b = condensed(heights_a), condensed(heights_b)
    clades_a, clades_b = clades(heights_a), clades(heights_b)
    apart, every = len(clades_a ^ clades_b), len(clades_a) + len(clades_b)
    return TreeSimilarity(
        cophenetic_correlation=correlation(pairs_a, pairs_b),
        bakers_gamma=correlation(average_ranks(pairs_a), average_ranks(pairs_b)),
        robinson_foulds=apart,
        robinson_foulds_share=apart / every if every else float("nan"),
    )
