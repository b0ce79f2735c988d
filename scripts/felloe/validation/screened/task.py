"""How each participant did the task."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from felloe.ground.arrays import Array, Bools, Floats, Ints
from felloe.ground.people.canonical_order import canonical_order, canonical_piles
from felloe.ground.people.sorts import UNPLACED, Sorts

DECIMALS = 12  # entropies are rounded once, here


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
        float((sizes * (sizes - 1)).sum() / (n * (n - 1))) if n > 1 else np.nan,
        float(np.round(-(shares * np.log2(shares)).sum(), DECIMALS)) + 0.0 if n else np.nan,
    )


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
