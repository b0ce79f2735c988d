"""What the replicates say about the nodes of the tree and about its classes."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from felloe.clustering.replicates.bootstrap import Bootstrap, Redrawn
from felloe.clustering.replicates.consensus import (
    Homes,
    RogueRule,
    ambiguous_share,
    coclassification,
    find_homes,
    find_rogues,
    is_ambiguous,
)
from felloe.clustering.replicates.multiscale import approximately_unbiased
from felloe.clustering.replicates.replicate_trees import cuts
from felloe.clustering.replicates.support import (
    NullCut,
    cut_support,
    node_support,
    null_nodes,
    null_of_nodes,
)
from felloe.ground.arrays import Bools, Floats
from felloe.ground.groups.linkage import members
from felloe.ground.groups.partition import Partition
from felloe.ground.terms import Terms

Reading = Literal["", "highly_stable", "stable", "pattern", "doubtful", "dissolved"]
# Hennig (2007) set these for redrawn objects; here people are redrawn and all terms stay, so
# they are a convention, printed beside what data without structure give.
CONVENTION: tuple[tuple[float, Reading], ...] = (
    (0.85, "highly_stable"),
    (0.75, "stable"),
    (0.6, "pattern"),
    (0.5, "doubtful"),
    (-1.0, "dissolved"),
)
HALF = 0.5  # a group that is not in most of the trees is supported by none of them


def convention(jaccard: float) -> Reading:
    """Return the conventional reading of a mean Jaccard coefficient; empty for nan."""
    if np.isnan(jaccard):
        return ""
    return next(reading for least, reading in CONVENTION if jaccard >= least)


@dataclass(frozen=True)
class NodeSummary:
    """
    Support of every merge but the last.

    Attributes
    ----------
    terms : Terms
    groups : (N - 2, N) array of bool
    heights, proportion, jaccard, null_mean, null_limit : (N - 2,) array of float
    supported : (N - 2,) array of bool
    proportion_kept, jaccard_kept : (N - 2,) array of float
        The same without the rogue terms; nan where fewer than two terms remain.
    au : (N - 2,) array of float
        nan unless the multiscale bootstrap was asked for.
    null_proportion : float
        95 % quantile over data sets without structure of the largest bootstrap proportion.
    """

    terms: Terms
    groups: Bools
    heights: Floats
    proportion: Floats
    jaccard: Floats
    null_mean: Floats
    null_limit: Floats
    supported: Bools
    proportion_kept: Floats
    jaccard_kept: Floats
    au: Floats
    null_proportion: float


def summarise_nodes(bootstrap: Bootstrap, rogues: Bools, minimum_support: float) -> NodeSummary:
    """
    Measure the support of every node.

    A node is supported if it comes back in more than half of the replicates and more often
    than any node did in 95 % of the data sets without structure, and if its Jaccard
    coefficient reaches the minimum and exceeds theirs for nodes of its size.

    Parameters
    ----------
    bootstrap : Bootstrap
    rogues : (N,) array of bool
    minimum_support : float

    Returns
    -------
    NodeSummary
    """
    Z, merges = bootstrap.tree.Z, bootstrap.redrawn.merges
    without = null_nodes(bootstrap.null.trees, bootstrap.null.merges)
    groups = members(Z)[:-1]
    full = node_support(merges, groups)
    kept = node_support(merges, groups, ~rogues) if rogues.any() else full
    mean, limit = null_of_nodes(without, groups.sum(axis=1))
    supported = (
        (full.proportion > max(HALF, without.limit))
        & (full.jaccard >= minimum_support)
        & (full.jaccard > limit)
    )
    return NodeSummary(
        terms=bootstrap.terms,
        groups=groups,
        heights=Z[:-1, 2],
        proportion=full.proportion,
        jaccard=full.jaccard,
        null_mean=mean,
        null_limit=limit,
        supported=supported,
        proportion_kept=kept.proportion,
        jaccard_kept=kept.jaccard,
        au=multiscale_supports(bootstrap.redrawn, groups),
        null_proportion=without.limit,
    )


def multiscale_supports(redrawn: Redrawn, groups: Bools) -> Floats:
    """Return approximately unbiased supports of groups, nan if there are no scales."""
    merges = redrawn.scale_merges
    if not len(merges):
        return np.full(len(groups), np.nan)
    shares = np.array([node_support(one, groups).proportion for one in merges])
    return approximately_unbiased(shares, len(merges[0]), redrawn.scales)[0]


@dataclass(frozen=True)
class ClassSummary:
    """
    Support of the classes and of each term's place in them.

    Attributes
    ----------
    classes : Partition
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

    classes: Partition
    jaccard: Floats
    null: NullCut
    consensus: Floats
    homes: Homes
    rogues: Bools
    ambiguous: Floats
    pac: float


def summarise_classes(
    bootstrap: Bootstrap, number: int, null_cut: NullCut, rule: RogueRule
) -> ClassSummary:
    """
    Measure the support of the classes.

    Parameters
    ----------
    bootstrap : Bootstrap
    number : int
        Classes.
    null_cut : NullCut
        Of the same number of classes.
    rule : RogueRule

    Returns
    -------
    ClassSummary
    """
    classes, merges = bootstrap.tree.cut(number), bootstrap.redrawn.merges
    labels = cuts(merges, [number])[number]
    shares = coclassification(labels) / len(merges)
    homes = find_homes(labels, classes.labels)
    return ClassSummary(
        classes=classes,
        jaccard=cut_support(labels, classes.labels).jaccard,
        null=null_cut,
        consensus=shares,
        homes=homes,
        rogues=find_rogues(homes, rule),
        ambiguous=is_ambiguous(shares).sum(axis=1) / (len(classes.terms) - 1),
        pac=ambiguous_share(shares),
    )
