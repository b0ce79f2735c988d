"""What it would cost to move each term from where it is published."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from felloe.ground.groups.decided import leads_to
from felloe.ground.groups.partition import Partition
from felloe.ground.rounding import DISTANCE_DECIMALS
from felloe.tiers.cuts import Tiers
from felloe.tiers.decisions import Chart, Fit
from felloe.tiers.move_fits import MoveFits
from felloe.tiers.placement import FIRM, mean_similarity

MoveNote = Literal["empties_class", "empties_subclass", "replaces_decision", "decided_in_a_ring"]


@dataclass(frozen=True)
class Move:
    """
    A term that could join another subclass.

    Attributes
    ----------
    place : int
        Of the term.
    term, beside : str
        As a decision would have them.
    subclass : int
        Number of the subclass that it would join.
    rank : int
        1 for the nearest subclass.
    similarity : float
        Mean share of people who put the term together with those of the subclass.
    notes : tuple of str
        Codes.
    """

    place: int
    term: str
    beside: str
    subclass: int
    rank: int
    similarity: float
    notes: tuple[MoveNote, ...]


@dataclass(frozen=True)
class PriceSettings:
    """
    Which moves are priced.

    Attributes
    ----------
    priced_subclasses : int
        Nearest subclasses of a term that is firm.
    priced_terms : int
        With more terms, firm ones are not priced.
    """

    priced_subclasses: int
    priced_terms: int

    def wanted(self, open_term: bool, n_terms: int, most: int) -> int:
        """Return of how many subclasses, at most so many, a term's moves are priced."""
        if open_term:
            return most
        return 0 if n_terms > self.priced_terms else min(self.priced_subclasses, most)


def possible_moves(
    chart: Chart, asked: PriceSettings, in_full: Collection[str], decided: Mapping[str, str]
) -> Iterator[Move]:
    """
    Yield the moves that are priced, term by term, the nearest subclass first.

    Parameters
    ----------
    chart : Chart
        The published one.
    asked : PriceSettings
    in_full : collection of str
        Terms of which every subclass is taken.
    decided : mapping of str to str
        Terms that were decided on, and beside which.
    """
    classes, subclasses = chart.partitions()
    near = np.round(mean_similarity(1.0 - chart.D, subclasses.labels), DISTANCE_DECIMALS)
    for place, term in enumerate(chart.terms):
        row = near[place].copy()
        row[subclasses.labels[place]] = -np.inf
        wanted = asked.wanted(term in in_full, len(near), subclasses.n_groups - 1)
        notes = departure(place, term, classes, subclasses, decided)
        for rank, number in enumerate(np.argsort(-row, kind="stable")[:wanted].tolist(), 1):
            beside, more = companion(term, subclasses.members(number), decided)
            yield Move(place, term, beside, number, rank, float(row[number]), (*notes, *more))


def open_terms(chart: Chart, of_data: Tiers, status: Sequence[str]) -> set[str]:
    """Return the terms that are doubtful or undecided, or no longer where the data put them."""
    pairs = ((chart.classes, of_data.classes), (chart.subclasses, of_data.subclasses))
    moved = {
        term
        for now, then in pairs
        for term, of in zip(chart.terms, then.of_terms)
        if now[term] != of
    }
    return moved | {term for term, one in zip(chart.terms, status) if one != FIRM}


def departure(
    place: int, term: str, classes: Partition, subclasses: Partition, decided: Mapping[str, str]
) -> tuple[MoveNote, ...]:
    """Return the codes of what a term leaves behind, whatever it joins."""
    alone = [(part.labels == part.labels[place]).sum() == 1 for part in (classes, subclasses)]
    notes: list[MoveNote] = []
    if alone[1]:
        notes.append("empties_class" if alone[0] else "empties_subclass")
    if term in decided:
        notes.append("replaces_decision")
    return tuple(notes)


def companion(
    term: str, members: tuple[str, ...], decided: Mapping[str, str]
) -> tuple[str, tuple[MoveNote, ...]]:
    """
    Return the term to be named in a decision, and a code where no term can be.

    The first that nobody decided on stays where it is; one that was decided on serves where its
    own decision does not lead back to the term.
    """
    undecided = [one for one in members if one not in decided]
    apart = [one for one in members if not leads_to(one, term, decided)]
    if undecided or apart:
        return (undecided or apart)[0], ()
    return members[0], ("decided_in_a_ring",)


def priced(chart: Chart, moves: Iterable[Move]) -> Iterator[tuple[Move, Fit]]:
    """Yield each move with the fit of the chart after it."""
    fits, asked = MoveFits(chart), list(moves)
    labels = chart.partitions()[0].labels
    # what is worked out for a term, and for its class, serves all its moves
    worked = sorted(asked, key=lambda move: (int(labels[move.place]), move.place))
    found = {(move.place, move.subclass): fits.after(move.place, move.subclass) for move in worked}
    for move in asked:
        yield move, found[move.place, move.subclass]
