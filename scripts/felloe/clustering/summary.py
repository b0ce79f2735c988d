"""What the replicates say about the nodes of the tree and about its classes."""

from dataclasses import dataclass

import numpy as np

from felloe.clustering.consensus import (
    AMBIGUOUS,
    Homes,
    ambiguous_share,
    coclassification,
    find_homes,
    find_rogues,
)
from felloe.clustering.multiscale import approximately_unbiased
from felloe.clustering.replicate_trees import cuts
from felloe.clustering.support import NullCut, cut_support, node_support, null_of_nodes
from felloe.ground.linkage import cut, members

# Hennig (2007) set these for redrawn objects; here people are redrawn and all terms stay, so
# they are a convention, printed beside what data without structure give.
CONVENTION = (
    (0.85, "highly stable"),
    (0.75, "stable"),
    (0.6, "a pattern, its members doubtful"),
    (0.5, "not to be trusted"),
    (-1.0, "dissolved"),
)


def convention(jaccard):
    """Return the conventional words for a mean Jaccard coefficient; empty for nan."""
    if np.isnan(jaccard):
        return ""
    return next(words for least, words in CONVENTION if jaccard >= least)


@dataclass(frozen=True)
class NodeSummary:
    """
    Support of every merge but the last.

    Attributes
    ----------
    groups : (N - 2, N) array of bool
    heights, proportion, jaccard, null_mean, null_limit : (N - 2,) array of float
    supported : (N - 2,) array of bool
    proportion_kept, jaccard_kept : (N - 2,) array of float
        The same without the rogue terms; nan where fewer than two terms remain.
    au : (N - 2,) array of float
        nan unless the multiscale bootstrap was asked for.
    """

    groups: np.ndarray
    heights: np.ndarray
    proportion: np.ndarray
    jaccard: np.ndarray
    null_mean: np.ndarray
    null_limit: np.ndarray
    supported: np.ndarray
    proportion_kept: np.ndarray
    jaccard_kept: np.ndarray
    au: np.ndarray

    def jaccard_of(self, inside):
        """Return the Jaccard coefficient and null limit of a node by its members, or nan."""
        found = np.flatnonzero((self.groups == inside).all(axis=1))
        return (self.jaccard[found[0]], self.null_limit[found[0]]) if len(found) else (np.nan,) * 2


def summarise_nodes(Z, merges, null_support, rogues, minimum_support, scale_merges=()):
    """
    Measure the support of every node.

    A node is supported if it comes back in more than half of the replicates and more often
    than any node did in 95 % of the data sets without structure, and if its Jaccard
    coefficient reaches the minimum and exceeds theirs for nodes of its size.

    Parameters
    ----------
    Z : (N - 1, 4) array of float
    merges : (R, N - 1, 2) array of int
    null_support : NullSupport
    rogues : (N,) array of bool
    minimum_support : float
    scale_merges : sequence of (R', N - 1, 2) array of int
        Replicates of each size of the multiscale bootstrap; empty if it is off.

    Returns
    -------
    NodeSummary
    """
    groups = members(Z)[:-1]
    full = node_support(merges, groups)
    kept = node_support(merges, groups, ~rogues) if rogues.any() else full
    mean, limit = null_of_nodes(null_support, groups.sum(axis=1))
    supported = (
        (full.proportion > max(0.5, null_support.limit))
        & (full.jaccard >= minimum_support)
        & (full.jaccard > limit)
    )
    au = np.full(len(groups), np.nan)
    if len(scale_merges):
        shares = np.array([node_support(one, groups).proportion for one in scale_merges])
        au, _, _ = approximately_unbiased(shares, len(scale_merges[0]))
    return NodeSummary(
        groups, Z[:-1, 2], full.proportion, full.jaccard, mean, limit, supported,
        kept.proportion, kept.jaccard, au,
    )  # fmt: skip


@dataclass(frozen=True)
class ClassSummary:
    """
    Support of the classes and of each term's place in them.

    Attributes
    ----------
    classes : (N,) array of int
    jaccard : (K,) array of float
        Mean best Jaccard coefficient with the classes of each replicate's own cut.
    null : NullCut
        The same without structure.
    consensus : (N, N) array of float
        Share of replicates in which two terms fall in one class.
    homes : Homes
    rogues : (N,) array of bool
    ambiguous : (N,) array of float
        Share of the other terms that are neither mostly with the term nor mostly apart.
    pac : float
        Proportion of ambiguous clustering.
    """

    classes: np.ndarray
    jaccard: np.ndarray
    null: NullCut
    consensus: np.ndarray
    homes: Homes
    rogues: np.ndarray
    ambiguous: np.ndarray
    pac: float


def summarise_classes(Z, merges, number, null_cut, rogue_below, rogue_most):
    """
    Measure the support of the classes.

    Parameters
    ----------
    Z : (N - 1, 4) array of float
    merges : (R, N - 1, 2) array of int
    number : int
        Classes.
    null_cut : NullCut
        Of the same number of classes.
    rogue_below, rogue_most : float
        As for `find_rogues`.

    Returns
    -------
    ClassSummary
    """
    classes = cut(Z, number)
    labels = cuts(merges, [number])[number]
    shares = coclassification(labels) / len(merges)
    homes = find_homes(labels, classes)
    between = (shares > AMBIGUOUS[0]) & (shares < AMBIGUOUS[1])
    return ClassSummary(
        classes=classes,
        jaccard=cut_support(labels, classes).jaccard,
        null=null_cut,
        consensus=shares,
        homes=homes,
        rogues=find_rogues(homes, rogue_below, rogue_most),
        ambiguous=between.sum(axis=1) / (len(classes) - 1),
        pac=ambiguous_share(shares),
    )
