"""What became of the classes and terms of an edition in the next one."""

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass

import numpy as np

from felloe.ground.arrays import Floats, Ints
from felloe.ground.contingency import contingency, match_table

STAYED, SPLIT, MERGED, MOVED = "stayed", "split", "merged", "moved"
NONE, ROBUST, POSSIBLE, NOISE = "none", "robust", "possible", "noise"
GRADES = (NONE, ROBUST, POSSIBLE, NOISE)


@dataclass(frozen=True)
class Bounds:
    """
    From where on a change of class is told from noise.

    Attributes
    ----------
    robust, possible : float
        Least probability of the term's class in both editions for either grade, 0 to 1.
    """

    robust: float
    possible: float


@dataclass(frozen=True)
class Correspondence:
    """
    Which classes of two editions stand for each other, on their common terms.

    Attributes
    ----------
    older, newer : tuple of str
        The classes that hold a common term, in sorted order.
    counts : (n_older, n_newer) array of int
        Common terms in each class of the one and of the other.
    matched : dict of str to str
        Older class to newer class, one to one, with the largest overlap in all.
    split_from : dict of str to str
        Unmatched newer class to the older class that most of its terms come from.
    merged_into : dict of str to str
        Unmatched older class to the newer class that most of its terms went to.
    """

    older: tuple[str, ...]
    newer: tuple[str, ...]
    counts: Ints
    matched: Mapping[str, str]
    split_from: Mapping[str, str]
    merged_into: Mapping[str, str]

    def relation(self, older: str, newer: str) -> str:
        """Say how a term came from class `older` to class `newer`: stayed, split, merged, moved."""
        if self.matched.get(older) == newer:
            return STAYED
        if self.split_from.get(newer) == older:
            return SPLIT
        if self.merged_into.get(older) == newer:
            return MERGED
        return MOVED


def match_classes(older: Sequence[str], newer: Sequence[str]) -> Correspondence:
    """
    Find which classes of two editions stand for each other.

    Classes are matched one to one by the rule of the whole study (`contingency.match_groups`),
    never by name. A class left over is taken for a part of the class that holds more than half
    of its terms: a class that was divided has not sent its terms wandering.

    Parameters
    ----------
    older, newer : sequence of str
        The class of each common term in the two editions.

    Returns
    -------
    Correspondence
    """
    counts = contingency(older, newer)
    names_a, names_b = tuple(sorted(set(older))), tuple(sorted(set(newer)))
    partners = match_table(counts).tolist()
    matched = {names_a[i]: names_b[j] for j, i in enumerate(partners) if i >= 0}
    return Correspondence(
        names_a,
        names_b,
        counts,
        matched,
        split_from=left_over(counts.T, names_b, names_a, set(matched.values())),
        merged_into=left_over(counts, names_a, names_b, set(matched)),
    )


def left_over(
    counts: Ints, names: Sequence[str], others: Sequence[str], matched: Set[str]
) -> dict[str, str]:
    """Return where more than half of the terms of each unmatched class (row) are."""
    homes = counts.argmax(axis=1)
    return {
        name: others[int(home)]
        for name, row, home in zip(names, counts, homes)
        if name not in matched and 2 * row[home] > row.sum()
    }


def grade_migration(
    relation: str, probability_older: float, probability_newer: float, bounds: Bounds
) -> str:
    """
    Say how far a term's change of class can be told from the noise of both studies.

    Parameters
    ----------
    relation : str
        From `Correspondence.relation`.
    probability_older, probability_newer : float
        Bootstrap probability of the term's class in each edition, 0 to 1.
    bounds : Bounds

    Returns
    -------
    {"none", "robust", "possible", "noise"}
    """
    if relation != MOVED:
        return NONE
    least = min(probability_older, probability_newer)
    if least >= bounds.robust:
        return ROBUST
    return POSSIBLE if least >= bounds.possible else NOISE


def class_mapping(members_older: Set[str], members_newer: Set[str]) -> str | None:
    """
    Say how a class of the newer edition stands to one of the older, seen from the older.

    Parameters
    ----------
    members_older, members_newer : set of str
        The common terms of the two classes, under one id each.

    Returns
    -------
    {"exact", "broad", "narrow", "close", "related", None}
        exact: the same terms; broad (narrow): the newer one holds all of the older one's terms
        and more (some of them and no other); close: more than half of the terms of both are
        shared; related: fewer are; None: no term is.
    """
    shared = members_older & members_newer
    if not shared:
        return None
    if members_older == members_newer:
        return "exact"
    if members_older < members_newer:
        return "broad"
    if members_newer < members_older:
        return "narrow"
    return "close" if 2 * len(shared) > len(members_older | members_newer) else "related"


def order_angles(older: Sequence[str], newer: Sequence[str]) -> tuple[Floats, Floats]:
    """
    Spread two orders of the same terms evenly around a circle.

    Parameters
    ----------
    older, newer : sequence of str
        The same terms, each in the order of its edition; at least 3.

    Returns
    -------
    older, newer : (n_terms,) array of float
        Radians, of the terms in the order of the older edition.

    Raises
    ------
    ValueError
        If the two are not orders of the same terms, or hold fewer than 3.
    """
    if sorted(older) != sorted(newer) or len(older) < 3:
        raise ValueError("two orders of the same three terms or more are needed")
    angles = 2.0 * np.pi * np.arange(len(older)) / len(older)
    place = {term: i for i, term in enumerate(newer)}
    return angles, angles[[place[term] for term in older]]
