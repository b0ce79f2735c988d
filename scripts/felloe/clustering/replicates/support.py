"""How often groups of terms come back when participants are redrawn, and without structure."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from felloe.clustering.replicates.consensus import ambiguous_share, coclassifications
from felloe.clustering.replicates.replicate_trees import (
    adjusted_rands,
    best_jaccard,
    cuts,
    group_jaccards,
)
from felloe.ground.arrays import Array, Bools, Floats, Ints
from felloe.ground.groups.contingency import contingencies
from felloe.ground.groups.linkage import cut, members

BATCH, BATCH_CELLS = 50, 2**24  # trees in memory at a time, and groups by nodes of theirs
NULL_QUANTILE = 0.95  # support above it is rarer than 1 in 20 without structure: the usual level


@dataclass(frozen=True)
class Support:
    """
    Support of groups of terms.

    Attributes
    ----------
    proportion : (C,) array of float
        Share of trees that hold the very group (bootstrap proportion).
    jaccard : (C,) array of float
        Mean over trees of the best Jaccard coefficient with one of their clades.
    """

    proportion: Floats
    jaccard: Floats


def node_support(merges: Array, groups: Bools, kept: Bools | None = None) -> Support:
    """
    Measure how well groups are found again.

    Parameters
    ----------
    merges : (R, N - 1, 2) array of int
        Trees of redrawn participants.
    groups : (C, N) array of bool
    kept : (N,) array of bool, optional
        Terms that count.

    Returns
    -------
    Support
        nan for groups with fewer than two kept terms.

    References
    ----------
    Felsenstein (1985), Evolution 39:783-791. Hennig (2007), Computational Statistics & Data
    Analysis 52:258-271.
    """
    found, similar = np.zeros(len(groups)), np.zeros(len(groups))
    at_once = min(BATCH, max(1, BATCH_CELLS // max(1, groups.size)))
    for start in range(0, len(merges), at_once):
        best = best_jaccard(merges[start : start + at_once], groups, kept)
        found += (best == 1.0).sum(axis=0)
        similar += best.sum(axis=0)
    found[np.isnan(similar)] = np.nan
    return Support(found / len(merges), similar / len(merges))


@dataclass(frozen=True)
class CutSupport:
    """
    How well one cut of the tree is found again.

    Attributes
    ----------
    jaccard : (k,) array of float
        Of every group: mean over trees of the best Jaccard coefficient with a group of the
        tree's own cut into k.
    rand : float
        Mean adjusted Rand index with the cuts of the trees.
    """

    jaccard: Floats
    rand: float


def cut_support(labels: Array, reference: Ints) -> CutSupport:
    """
    Measure how well a cut is found again.

    Parameters
    ----------
    labels : (R, N) array of int
        The same cut of every tree.
    reference : (N,) array of int

    Returns
    -------
    CutSupport
    """
    tables = contingencies(labels, reference)
    return CutSupport(group_jaccards(tables).mean(axis=0), float(adjusted_rands(tables).mean()))


@dataclass(frozen=True)
class NullSupport:
    """
    Supports of nodes in data without structure: terms permuted within participants.

    Attributes
    ----------
    sizes, jaccard, proportion, owner : (n,) array
        One entry per node of every permuted data set; `owner` numbers the data set.
    limit : float
        95 % quantile over data sets of the largest bootstrap proportion of any node.
    """

    sizes: Ints
    jaccard: Floats
    proportion: Floats
    owner: Ints
    limit: float


def null_nodes(trees: Sequence[Floats], merges: Array) -> NullSupport:
    """
    Collect the supports of the nodes of permuted data sets.

    Parameters
    ----------
    trees : sequence of (N - 1, 4) array of float
        The tree of each permuted data set; those beyond the last of `merges` are left out.
    merges : (M, R, N - 1, 2) array of int
        Trees of redrawn participants of each.

    Returns
    -------
    NullSupport
    """
    parts = []
    for one, redrawn in enumerate(merges):
        groups = members(trees[one])[:-1]
        support = node_support(redrawn, groups)
        owned = np.full(len(groups), one)
        parts.append((groups.sum(axis=1), support.jaccard, support.proportion, owned))
    sizes, jaccard, proportion, owner = (np.concatenate(part) for part in zip(*parts, strict=True))
    largest = [proportion[owner == one].max() for one in range(len(merges))]
    limit = float(np.quantile(largest, NULL_QUANTILE))
    return NullSupport(sizes, jaccard, proportion, owner, limit)


@dataclass(frozen=True)
class NullCut:
    """
    One cut in data without structure.

    Attributes
    ----------
    mean : float
        Mean Jaccard coefficient of the groups, over groups and data sets.
    limit : float
        95 % quantile over data sets of the largest one.
    pac : float
        Mean proportion of ambiguous clustering.
    """

    mean: float
    limit: float
    pac: float


def null_cuts(trees: Sequence[Floats], merges: Array, numbers: Sequence[int]) -> dict[int, NullCut]:
    """
    Collect the stability of cuts of permuted data sets.

    Parameters
    ----------
    trees : sequence of (N - 1, 4) array of float
    merges : (M, R, N - 1, 2) array of int
    numbers : sequence of int

    Returns
    -------
    dict of int to NullCut
    """
    jaccards: dict[int, list[Floats]] = {k: [] for k in numbers}
    pacs: dict[int, list[float]] = {k: [] for k in numbers}
    for owner, redrawn in enumerate(merges):
        labels = cuts(redrawn, numbers)
        for k, together in coclassifications(labels):
            jaccards[k].append(cut_support(labels[k], cut(trees[owner], k)).jaccard)
            pacs[k].append(ambiguous_share(together / len(redrawn)))
    return {
        k: NullCut(
            float(np.mean(jaccards[k])),
            float(np.quantile([one.max() for one in jaccards[k]], NULL_QUANTILE)),
            float(np.mean(pacs[k])),
        )
        for k in numbers
    }


def size_band(sizes: Sequence[int] | Ints) -> Ints:
    """Return the band of each size: 2-3, 4-7, 8-15 and so on; small groups come back by luck."""
    bands: Ints = np.floor(np.log2(np.asarray(sizes, dtype=float))).astype(int)
    return bands


def null_of_nodes(null: NullSupport, sizes: Ints) -> tuple[Floats, Floats]:
    """
    Look up what nodes of the same size reach without structure.

    Parameters
    ----------
    null : NullSupport
    sizes : (C,) array of int

    Returns
    -------
    mean, limit : (C,) array of float
        Mean Jaccard coefficient, and the 95 % quantile over permuted data sets of the largest
        one, among their nodes of the same size band; the nearest smaller band if it is empty.
    """
    bands, wanted = size_band(null.sizes), size_band(sizes)
    mean, limit = np.empty(len(sizes)), np.empty(len(sizes))
    for asked in np.unique(wanted):
        band = max((b for b in np.unique(bands) if b <= asked), default=bands.min())
        inside = bands == band
        largest = [
            null.jaccard[inside & (null.owner == one)].max()
            for one in np.unique(null.owner[inside])
        ]
        mean[wanted == asked] = null.jaccard[inside].mean()
        limit[wanted == asked] = np.quantile(largest, NULL_QUANTILE)
    return mean, limit
