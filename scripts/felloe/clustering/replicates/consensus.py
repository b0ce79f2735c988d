"""What the trees of redrawn participants have in common."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from felloe.clustering.replicates.replicate_trees import accumulate, clade_hashes
from felloe.ground.arrays import Array, Bools, Floats, Ints
from felloe.ground.groups.contingency import contingencies, match_groups
from felloe.ground.squares import condensed

# Shares between which a pair counts as ambiguous: the interval of Senbabaoglu and others, below.
AMBIGUOUS = (0.1, 0.9)


def majority_clades(merges: Array) -> tuple[Bools, Ints]:
    """
    Find the groups of terms that more than half of the trees hold together.

    Parameters
    ----------
    merges : (R, N - 1, 2) array of int

    Returns
    -------
    groups : (C, N) array of bool
        Larger groups first, then by their terms; each two are nested or disjoint. The group of
        all terms is left out.
    counts : (C,) array of int
        Trees that hold the group, more than R / 2.

    References
    ----------
    Margush & McMorris (1981), Consensus n-trees, Bulletin of Mathematical Biology 43:239-244.
    """
    n_terms = merges.shape[1] + 1
    hashes = clade_hashes(merges)[:, :-1]
    names, counts = frequent_values(hashes, len(merges) / 2)
    # a majority cannot keep out of the first half of the trees
    early = hashes[: len(hashes) // 2 + 1]
    first = np.array([np.argmax(early == name) for name in names], dtype=int)
    trees, nodes = np.divmod(first, hashes.shape[1])
    groups = np.zeros((len(names), n_terms), dtype=bool)
    for tree in np.unique(trees):
        below = accumulate(merges[tree : tree + 1], np.eye(n_terms, dtype=np.uint8))[0]
        groups[trees == tree] = below[n_terms + nodes[trees == tree]]
    # -groups: a group that holds an earlier term comes first
    order = np.lexsort([*(~groups).T[::-1], -groups.sum(axis=1)])
    return groups[order], counts[order]


def frequent_values(values: Array, least: float) -> tuple[Array, Ints]:
    """
    Return the values that occur more than `least` times, ascending, and how often.

    Parameters
    ----------
    values : array of uint64
    least : float

    Returns
    -------
    frequent : (F,) array of uint64
    counts : (F,) array of int
    """
    values = values.ravel()
    # counted by their first 16 bits before anything is sorted: few bins are full enough
    bins = (values >> np.uint64(48)).astype(np.uint16)
    full = np.flatnonzero(np.bincount(bins) > least)
    found = [np.unique(values[bins == one], return_counts=True) for one in full.astype(np.uint16)]
    names = np.concatenate([one for one, _ in found] or [values[:0]])
    counts = np.concatenate([often for _, often in found] or [np.zeros(0, dtype=int)])
    return names[counts > least], counts[counts > least]


def coclassification(labels: Array) -> Ints:
    """
    Count the trees that put two terms into one group.

    Parameters
    ----------
    labels : (R, N) array of int
        0 to K - 1.

    Returns
    -------
    (N, N) array of int64
        Symmetric; R on the diagonal.

    References
    ----------
    Monti, Tamayo, Mesirov & Golub (2003), Machine Learning 52:91-118.
    """
    together = np.zeros((labels.shape[1], labels.shape[1]))
    for group in range(int(labels.max()) + 1):
        inside = (labels == group).astype(np.float32)
        together += inside.T @ inside  # zeros and ones: exact in single precision
    return np.rint(together).astype(np.int64)


def coclassifications(labels: Mapping[int, Array]) -> Iterator[tuple[int, Ints]]:
    """
    Count, for several cuts of the same trees, those that put two terms into one group.

    A cut into one group more parts the terms of one group of each tree, and only their pairs are
    taken off: a product for every number, not one for every group of it.

    Parameters
    ----------
    labels : mapping of int to (R, N) array of int
        As returned by `cuts`.

    Yields
    ------
    number : int
        Ascending.
    together : (N, N) array of int64
        As `coclassification`; changed in place for the next number.
    """
    together, before = np.zeros((0, 0), dtype=np.int64), -1
    for number in sorted(labels):
        own = labels[number]
        if number == before + 1:
            parted = own == before
            remaining = own == left_group(labels[before], parted)[:, None]
            apart = parted.astype(np.float32).T @ remaining.astype(np.float32)
            together -= np.rint(apart + apart.T).astype(np.int64)
        else:
            together = coclassification(own)
        yield number, together
        before = number


def left_group(labels: Array, parted: Bools) -> Array:
    """Return, of every tree, the group that some terms are parted from; (R,) of labels."""
    return np.asarray(labels[np.arange(len(labels)), parted.argmax(axis=1)])


def is_ambiguous(shares: Floats) -> Bools:
    """Return which shares lie strictly between the bounds of `AMBIGUOUS`."""
    return (shares > AMBIGUOUS[0]) & (shares < AMBIGUOUS[1])


def ambiguous_share(shares: Floats) -> float:
    """
    Proportion of ambiguous clustering (PAC).

    Parameters
    ----------
    shares : (N, N) array of float
        Share of trees that put two terms into one group.

    Returns
    -------
    float
        Share of pairs strictly between the bounds of `AMBIGUOUS`; 0 is clear.

    References
    ----------
    Senbabaoglu, Michailidis & Li (2014), Scientific Reports 4:6207.
    """
    return float(np.mean(is_ambiguous(condensed(shares))))


@dataclass(frozen=True)
class Homes:
    """
    Where the terms fall when participants are redrawn.

    Attributes
    ----------
    home : (N,) array of int
        The class that a term has in the tree of all participants.
    home_probability : (N,) array of float
        Share of trees in which the term falls into that class.
    rival : (N,) array of int
        The class, other than its own, that it falls into most often; -1 if there is none.
    rival_probability : (N,) array of float
    shares : (N, K) array of float
        Share of trees in which each term falls into each class.
    """

    home: Ints
    home_probability: Floats
    rival: Ints
    rival_probability: Floats
    shares: Floats

    @property
    def margin(self) -> Floats:
        """Home less rival probability, -1 to 1."""
        return self.home_probability - self.rival_probability


def class_votes(labels: Array, reference: Ints) -> Ints:
    """
    Count the trees in which each term falls into each class.

    The classes of each tree are paired with those of the reference one to one, by most shared
    terms; a class of a tree that is paired with none is nobody's.

    Parameters
    ----------
    labels : (R, N) array of int
        Classes in every tree.
    reference : (N,) array of int
        Classes in the tree of all participants, 0 to K - 1.

    Returns
    -------
    (N, K) array of int
    """
    matched = match_groups(contingencies(labels, reference))
    fallen = np.take_along_axis(matched, labels.astype(np.intp), axis=1)
    return np.stack([(fallen == one).sum(axis=0) for one in range(int(reference.max()) + 1)], 1)


def find_homes(labels: Array, reference: Ints) -> Homes:
    """
    Count how often each term falls into its own class and into others.

    Parameters
    ----------
    labels : (R, N) array of int
    reference : (N,) array of int
        As for `class_votes`.

    Returns
    -------
    Homes
    """
    n_trees, n_terms = labels.shape
    votes = class_votes(labels, reference)
    terms = np.arange(n_terms)
    others = votes.copy()
    others[terms, reference] = -1
    rival = others.argmax(axis=1)
    rival_votes = np.maximum(others[terms, rival], 0)
    return Homes(
        home=reference.copy(),
        home_probability=votes[terms, reference] / n_trees,
        rival=np.where(rival_votes > 0, rival, -1),
        rival_probability=rival_votes / n_trees,
        shares=votes / n_trees,
    )


@dataclass(frozen=True)
class RogueRule:
    """
    Which terms wander so much that they blur every group they visit.

    Attributes
    ----------
    below : float
        Only terms with a home probability below this are rogues.
    most : float
        At most this share of the terms, the least settled first; in data without structure
        every term wanders, and leaving most of them out would tell nothing.
    """

    below: float
    most: float


def find_rogues(homes: Homes, rule: RogueRule) -> Bools:
    """
    Pick the terms that wander.

    Parameters
    ----------
    homes : Homes
    rule : RogueRule

    Returns
    -------
    (N,) array of bool
    """
    n_terms = len(homes.home_probability)
    settled = np.argsort(homes.home_probability, kind="stable")[: int(rule.most * n_terms)]
    rogue = np.zeros(n_terms, dtype=bool)
    rogue[settled] = homes.home_probability[settled] < rule.below
    return rogue
