"""How each participant did the task."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from math import comb

import numpy as np

from felloe.ground.arrays import Array, Bools, Floats, Ints
from felloe.ground.groups.agreement import adjusted_rand
from felloe.ground.groups.linkage import build_tree, cut
from felloe.ground.people.canonical_order import canonical_order, canonical_piles
from felloe.ground.people.counts import count_cooccurrence, mean_share
from felloe.ground.people.pairs import pair_shares, pair_vectors
from felloe.ground.people.sorts import UNPLACED, Sorts
from felloe.validation.granularity import numbers_of_piles

DECIMALS = 12  # entropies are rounded once, here
DIGITS = 9  # of a probability
MOST_TERMS = 1000  # above it, numbers of arrangements no longer fit a float


@dataclass(frozen=True)
class Received:
    """
    Everybody's sorts as they were validated, before screening.

    Attributes
    ----------
    sorts : Sorts
    minutes : (n_participants,) array of float
        nan where not given.
    positions : (n_participants, n_terms) array of int32
        Order in which the participant saw the term, from 1; 0 where not given.
    shown : (n_participants, n_terms) array of bool, optional
        Who was shown what; None where everybody was shown every term.

    Raises
    ------
    ValueError
        If minutes and positions are not those of the participants and terms.
    """

    sorts: Sorts
    minutes: Floats
    positions: Array
    shown: Bools | None = None

    def __post_init__(self) -> None:
        """Check that everything is about the same participants and terms."""
        shape = self.sorts.piles.shape
        if self.minutes.shape != shape[:1] or self.positions.shape != shape:
            raise ValueError(
                f"minutes of shape {self.minutes.shape} and positions of {self.positions.shape} "
                f"do not fit piles of {shape}"
            )

    def in_canonical_order(self) -> "Received":
        """Return the same people ordered by what they sorted; of equal sorts the faster first."""
        order = canonical_order(
            self.sorts.populations,
            canonical_piles(self.sorts.piles),
            self.positions,
            np.nan_to_num(self.minutes, nan=np.inf),
        )
        shown = None if self.shown is None else self.shown[order]
        return Received(self.sorts.rows(order), self.minutes[order], self.positions[order], shown)

    def seen_by(self, place: int) -> Bools:
        """Return which terms the participant at a place was shown."""
        if self.shown is None:
            return np.ones(len(self.sorts.terms), dtype=bool)
        seen: Bools = self.shown[place]
        return seen


@dataclass(frozen=True)
class TaskProfile:
    """
    How one participant used the piles.

    Attributes
    ----------
    sizes : tuple of int
        Terms per pile, largest first.
    n_unplaced : int
    largest_pile_share : float
        Share of the placed terms in the largest pile; nan if none was placed.
    pairs_together_share : float
        Share of the pairs of placed terms that are together; nan for fewer than two terms.
    entropy : float
        Of the pile sizes, in bits.
    """

    sizes: tuple[int, ...]
    n_unplaced: int
    largest_pile_share: float
    pairs_together_share: float
    entropy: float


def task_profile(piles: Array) -> TaskProfile:
    """
    Describe the piles of one participant.

    Parameters
    ----------
    piles : (n_terms,) array of int
        `UNPLACED` where a term was not placed.

    Returns
    -------
    TaskProfile
    """
    piles = np.asarray(piles)
    placed = piles[piles != UNPLACED]
    sizes = np.sort(np.unique(placed, return_counts=True)[1])[::-1]
    n = len(placed)
    shares = sizes / n if n else sizes
    return TaskProfile(
        tuple(sizes.tolist()),
        len(piles) - n,
        float(sizes[0] / n) if n else np.nan,
        float(pair_shares(pair_vectors(piles[None]))[0]) if n > 1 else np.nan,
        float(np.round(-(shares * np.log2(shares)).sum(), DECIMALS)) + 0.0 if n else np.nan,
    )


def order_following(piles: Array, order: Array) -> tuple[float, float]:
    """
    Return how far a participant piled terms in the order in which they came.

    Parameters
    ----------
    piles : (n_terms,) array of int
        `UNPLACED` where a term was not placed.
    order : (n_terms,) array of number
        Position of each term; nan where unknown. Only its ranks count.

    Returns
    -------
    index : float
        Share of neighbours in the order that share a pile; terms that were not placed are left
        out of the order. nan for fewer than two terms.
    p : float
        Share of all orders of these terms whose index is at least this high: the exact
        permutation p, the given order being one of them.
    """
    piles, order = np.asarray(piles), np.asarray(order, dtype=float)
    known = np.flatnonzero((piles != UNPLACED) & ~np.isnan(order))
    if len(known) < 2:
        return np.nan, np.nan
    seen = piles[known[np.argsort(order[known], kind="stable")]]
    followed = int((seen[1:] == seen[:-1]).sum())
    sizes = np.sort(np.unique(seen, return_counts=True)[1])[::-1]
    chances = chances_of_neighbours(tuple(sizes.tolist()))
    # rounded once; a p is never 0, so digits count and not decimals
    p = float(f"{chances[followed:].sum():.{DIGITS}g}")
    return followed / (len(known) - 1), min(p, 1.0)


@cache
def chances_of_neighbours(sizes: tuple[int, ...]) -> Floats:
    """
    Return the distribution of the number of neighbours that share a pile, all orders alike.

    Piles are laid into the row one after another. A pile of n terms is cut into r blocks in
    C(n - 1, r - 1) ways; the blocks go into r of the L + 1 gaps of a row of L terms, b of them
    into gaps between neighbours that share a pile, which they part.

    Parameters
    ----------
    sizes : tuple of int
        Terms per pile.

    Returns
    -------
    (n_terms,) array of float
        Chance of 0, 1 ... n_terms - 1 such neighbours.

    Raises
    ------
    ValueError
        For more than `MOST_TERMS` terms.
    """
    n_terms = sum(sizes)
    if n_terms > MOST_TERMS:
        raise ValueError(f"{n_terms} terms; chances are known up to {MOST_TERMS}")
    chances = np.zeros(n_terms)
    chances[0] = 1.0
    length = 0
    for size in sizes:
        chances = laid_in(chances, length, size)
        length += size
    return chances


def laid_in(chances: Floats, length: int, size: int) -> Floats:
    """Return the distribution after a pile of `size` was laid into a row of `length` terms."""
    new = np.zeros_like(chances)
    shared = np.arange(max(length, 1))  # neighbours sharing a pile, before
    ways = comb(length + size, size)
    for blocks in range(1, min(size, length + 1) + 1):
        cuts = comb(size - 1, blocks - 1) / ways
        for parted in range(min(blocks, int(shared[-1])) + 1):
            into_shared = binomials(shared, parted)
            elsewhere = binomials(length + 1 - shared, blocks - parted)
            weight = cuts * into_shared * elsewhere * chances[: len(shared)]
            gained = size - blocks - parted
            first = max(0, -gained)  # fewer are shared than parted: weight is zero there
            new[shared[first:] + gained] += weight[first:]
    return new


@cache
def pascal_column(chosen: int) -> Floats:
    """Return C(n, chosen) for n from 0 to `MOST_TERMS` + 1."""
    return np.array([float(comb(n, chosen)) for n in range(MOST_TERMS + 2)])


def binomials(numbers: Ints, chosen: int) -> Floats:
    """Return C(n, chosen) for each of the numbers."""
    return pascal_column(chosen)[numbers]


def agreement_with_others(piles: Array, partial: bool = False) -> Floats:
    """
    Return how far each participant agrees with what all the others together say.

    The others' consensus is the average-linkage tree of their distances, cut into as many
    groups as the participant made piles, so that neither lumping nor splitting is held against
    anybody. A pair that none of the others placed counts as apart; where everybody was shown some
    terms, it takes the mean. It is shown, never a reason to leave anybody out.

    Parameters
    ----------
    piles : (n_participants, n_terms) array of int
        `UNPLACED` where a term was not placed.
    partial : bool
        Whether everybody was shown some terms.

    Returns
    -------
    (n_participants,) array of float
        Adjusted Rand index over the terms that the participant placed; 0 for one pile or
        singles; nan for a participant without others.
    """
    piles = np.asarray(piles)
    if len(piles) < 2:
        return np.full(len(piles), np.nan)
    together, both = count_cooccurrence(piles)
    unknown = mean_share(together, both) if partial else 0.0
    agreement = np.zeros(len(piles))
    for i, (row, n_piles) in enumerate(zip(piles, numbers_of_piles(piles).tolist(), strict=True)):
        placed = row != UNPLACED
        if n_piles < 2 or n_piles == placed.sum():
            continue
        own = (row[:, None] == row) & placed
        seen = both - (placed[:, None] & placed)
        apart = 1.0 - np.where(seen > 0, (together - own) / np.maximum(seen, 1), unknown)
        np.fill_diagonal(apart, 0.0)
        agreement[i] = adjusted_rand(row, cut(build_tree(apart, "average"), n_piles))
    return agreement


def identical_submissions(
    piles: Array,
    positions: Array,
    populations: Sequence[str],
    minimum_terms: int,
    shown: Bools | None = None,
) -> list[list[int]]:
    """
    Find submissions that were sent more than once, within populations or across them.

    The same piles are evidence of it if the lexicon has `minimum_terms` (two people hardly
    make the same piles of so many terms by themselves), or if the terms were also seen in the
    same order while others saw them in other orders.

    Parameters
    ----------
    piles : (n_participants, n_terms) array of int
        Numbered by first appearance, so that equal partitions are equal rows.
    positions : (n_participants, n_terms) array of int
        0 where not given.
    populations : sequence of str
        One entry per participant.
    minimum_terms : int
    shown : (n_participants, n_terms) array of bool, optional
        Who was shown what: then as many terms have to be shown to the participant.

    Returns
    -------
    list of list of int
        The rows of each submission that two participants or more sent, in ascending order.
        Submissions of different populations are different ones; pass one name for all to
        compare across populations.
    """
    sizes = np.full(len(piles), piles.shape[1]) if shown is None else shown.sum(axis=1)
    long_enough = sizes >= minimum_terms
    orders = {row.tobytes() for row in positions}
    senders: dict[tuple[str, bytes, bytes], list[int]] = {}
    for i, (row, order) in enumerate(zip(piles, positions, strict=True)):
        own_order = order.any() and len(orders) > 1
        if long_enough[i] or own_order:
            senders.setdefault((populations[i], row.tobytes(), order.tobytes()), []).append(i)
    return [rows for rows in senders.values() if len(rows) > 1]


def identical_to_kept(submissions: Sequence[Sequence[int]], fit: Bools) -> Ints:
    """
    Choose of each submission that was sent more than once the one to be kept.

    Parameters
    ----------
    submissions : sequence of sequence of int
        As returned by `identical_submissions`.
    fit : (n_participants,) array of bool
        Whom no other rule excludes: they go before the others.

    Returns
    -------
    (n_participants,) array of int
        Row of the participant with the same submission who goes before, -1 where none does.
    """
    before = np.full(len(fit), -1)
    for rows in submissions:
        first = next((row for row in rows if fit[row]), rows[0])
        before[[row for row in rows if row != first]] = first
    return before
