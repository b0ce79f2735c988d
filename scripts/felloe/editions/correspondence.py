"""What became of the classes and terms of an edition in the next one."""

from dataclasses import dataclass

import numpy as np

from felloe.ground.contingency import contingency

STAYED, SPLIT, MERGED, MOVED = "stayed", "split", "merged", "moved"
NONE, ROBUST, POSSIBLE, NOISE = "none", "robust", "possible", "noise"


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

    older: tuple
    newer: tuple
    counts: np.ndarray
    matched: dict
    split_from: dict
    merged_into: dict

    def relation(self, older, newer):
        """Say how a term came from class `older` to class `newer`: stayed, split, merged, moved."""
        if self.matched.get(older) == newer:
            return STAYED
        if self.split_from.get(newer) == older:
            return SPLIT
        if self.merged_into.get(older) == newer:
            return MERGED
        return MOVED


def match_classes(older, newer):
    """
    Find which classes of two editions stand for each other.

    Classes are matched one to one by the largest total overlap, never by name; where overlaps
    are equal, by the larger share of the terms of both. A class left over is taken for a part
    of the class that holds more than half of its terms: a class that was divided has not sent
    its terms wandering.

    Parameters
    ----------
    older, newer : sequence of str
        The class of each common term in the two editions.

    Returns
    -------
    Correspondence

    References
    ----------
    Kuhn (1955), Naval Research Logistics Quarterly 2:83-97 (the assignment problem).
    """
    from scipy.optimize import linear_sum_assignment

    counts = contingency(older, newer)
    rows, columns = counts.sum(axis=1, keepdims=True), counts.sum(axis=0, keepdims=True)
    shared = counts / (rows + columns - counts)
    # all shares together stay below one common term
    chosen = linear_sum_assignment(counts + shared / (len(rows) + columns.size), maximize=True)
    names_a, names_b = tuple(np.unique(older).tolist()), tuple(np.unique(newer).tolist())
    matched = {names_a[i]: names_b[j] for i, j in zip(*chosen, strict=True) if counts[i, j] > 0}
    split_from, merged_into = {}, {}
    for j in (j for j, name in enumerate(names_b) if name not in matched.values()):
        home = int(np.argmax(counts[:, j]))
        if 2 * counts[home, j] > columns[0, j]:
            split_from[names_b[j]] = names_a[home]
    for i in (i for i, name in enumerate(names_a) if name not in matched):
        home = int(np.argmax(counts[i]))
        if 2 * counts[i, home] > rows[i, 0]:
            merged_into[names_a[i]] = names_b[home]
    return Correspondence(names_a, names_b, counts, matched, split_from, merged_into)


def grade_migration(relation, probability_older, probability_newer, robust, possible):
    """
    Say how far a term's change of class can be told from the noise of both studies.

    Parameters
    ----------
    relation : str
        From `Correspondence.relation`.
    probability_older, probability_newer : float
        Bootstrap probability of the term's class in each edition, 0 to 1.
    robust, possible : float
        Least probability in both editions for either grade.

    Returns
    -------
    {"none", "robust", "possible", "noise"}
    """
    if relation != MOVED:
        return NONE
    least = min(probability_older, probability_newer)
    if least >= robust:
        return ROBUST
    return POSSIBLE if least >= possible else NOISE


def class_mapping(members_older, members_newer):
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


def order_angles(older, newer):
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
