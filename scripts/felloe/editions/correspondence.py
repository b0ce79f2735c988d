"""What became of the classes and terms of an edition in the next one."""

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, replace
from fractions import Fraction
from math import comb

import numpy as np

from felloe.ground.arrays import Floats, Ints
from felloe.ground.groups.agreement import adjusted_rand
from felloe.ground.groups.contingency import contingencies, contingency, match_table
from felloe.ground.permutation import permutation_p

STAYED, SPLIT, MERGED, MOVED = "stayed", "split", "merged", "moved"
NONE, ROBUST, POSSIBLE, NOISE = "none", "robust", "possible", "noise"
NO_CORRESPONDENCE = "no_correspondence"  # a relation of classes, and a grade
GRADES = (NONE, ROBUST, POSSIBLE, NOISE, NO_CORRESPONDENCE)
CHUNK = 1000  # random divisions at a time, to bound memory; no result depends on it


@dataclass(frozen=True)
class Bounds:
    """
    From where on a change of class is told from noise.

    Attributes
    ----------
    robust, possible : float
        Least probability of the term's class in both editions for either grade, 0 to 1.
    correspondence : float
        Level at which classes have to correspond better than chance.
    """

    robust: float
    possible: float
    correspondence: float


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
    adrift_older, adrift_newer : frozenset of str
        Classes whose match is no better than chance, or that have none; see `believed`.
    """

    older: tuple[str, ...]
    newer: tuple[str, ...]
    counts: Ints
    matched: Mapping[str, str]
    split_from: Mapping[str, str]
    merged_into: Mapping[str, str]
    adrift_older: frozenset[str] = frozenset()
    adrift_newer: frozenset[str] = frozenset()

    def relation(self, older: str, newer: str) -> str:
        """
        Say how a term came from class `older` to class `newer`.

        Returns
        -------
        {"stayed", "split", "merged", "moved", "no_correspondence"}
            Nothing can be told of a term if neither of its classes has a counterpart better than
            chance. One is enough: a term that left its fellows for a class without past has moved.
        """
        if older in self.adrift_older and newer in self.adrift_newer:
            return NO_CORRESPONDENCE
        if self.matched.get(older) == newer:
            return STAYED
        if self.split_from.get(newer) == older:
            return SPLIT
        if self.merged_into.get(older) == newer:
            return MERGED
        return MOVED

    def heir(self, older: str) -> str | None:
        """Return the newer class that an older one became or is a part of, if there is one."""
        heirs = (each for each in self.newer if self.relation(older, each) in (STAYED, MERGED))
        return next(heirs, None)  # there is one at the most


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


@dataclass(frozen=True)
class AgainstChance:
    """
    How well classes of two editions overlap, and how well they would by chance.

    Attributes
    ----------
    jaccard, expected : (n_older, n_newer) array of float
        Shared terms over the terms of either class, 0 to 1; and its mean over random divisions
        of the common terms into classes of the same sizes.
    p_values : (n_older, n_newer) array of float
        Permutation p of each overlap, allowing for looking at every pair of classes.
    adjusted_rand : float
        Agreement of all classes, 0 in the mean over random divisions.
    p_value : float
        Its permutation p.
    permutations : int
    """

    jaccard: Floats
    expected: Floats
    p_values: Floats
    adjusted_rand: float
    p_value: float
    permutations: int


def against_chance(
    older: Sequence[str], newer: Sequence[str], rng: np.random.Generator, permutations: int
) -> AgainstChance:
    """
    Hold the overlaps of classes against those of random divisions of the same sizes.

    The newer classes are dealt at random to the common terms. Classes of different sizes are
    compared by how improbable their overlap is (hypergeometric); p of a pair is the share of
    random divisions in which any pair is as improbable (Westfall & Young's min-P).

    Parameters
    ----------
    older, newer : sequence of str
        The class of each common term in the two editions.
    rng : numpy.random.Generator
    permutations : int

    Returns
    -------
    AgainstChance
        Rows and columns in sorted order of the classes.

    References
    ----------
    Hubert & Arabie (1985), Journal of Classification 2:193-218; Westfall & Young (1993),
    Resampling-Based Multiple Testing (both from memory).
    """
    counts = contingency(older, newer)
    rows, columns = counts.sum(axis=1), counts.sum(axis=0)
    tails, expected = overlaps_by_chance(rows, columns)
    a, b = np.ogrid[: len(rows), : len(columns)]
    codes = np.unique(np.asarray(older), return_inverse=True)[1]
    labels = np.unique(np.asarray(newer), return_inverse=True)[1]
    least, squares = [], []
    for start in range(0, permutations, CHUNK):
        number = min(CHUNK, permutations - start)
        dealt = contingencies(rng.permuted(np.tile(labels, (number, 1)), axis=1), codes)
        least.append(tails[a, b, dealt].min(axis=(1, 2)))
        squares.append((dealt**2).sum(axis=(1, 2)))
    rarest = -np.concatenate(least)
    p_values = [[permutation_p(-one, rarest) for one in row] for row in tails[a, b, counts]]
    return AgainstChance(
        counts / (rows[:, None] + columns - counts),
        expected,
        np.array(p_values),
        adjusted_rand(older, newer),
        # sizes being kept, the adjusted Rand index grows with the sum of squared overlaps
        permutation_p(int((counts**2).sum()), np.concatenate(squares)),
        permutations,
    )


def overlaps_by_chance(rows: Ints, columns: Ints) -> tuple[Floats, Floats]:
    """
    Describe the overlap of classes of given sizes if terms are dealt at random.

    Parameters
    ----------
    rows, columns : (n,) array of int
        Terms in the classes of either division; their sums are equal.

    Returns
    -------
    tails : (n_rows, n_columns, largest + 1) array of float
        Probability that two classes share as many terms or more.
    jaccard : (n_rows, n_columns) array of float
        Expected Jaccard coefficient.
    """
    total = int(rows.sum())
    tails = np.zeros((len(rows), len(columns), int(min(rows.max(), columns.max())) + 1))
    jaccard = np.zeros(tails.shape[:2])
    for i, one in enumerate(rows.tolist()):
        for j, other in enumerate(columns.tolist()):
            ways = [
                comb(other, shared) * comb(total - other, one - shared)
                for shared in range(min(one, other) + 1)
            ]
            # whole numbers, divided once: equal probabilities are equal floats
            reached = [sum(ways[shared:]) / comb(total, one) for shared in range(len(ways))]
            tails[i, j, : len(ways)] = reached
            alike = sum(
                way * Fraction(shared, one + other - shared) for shared, way in enumerate(ways)
            )
            jaccard[i, j] = float(alike / comb(total, one))
    return tails, jaccard


def believed(found: Correspondence, chance: AgainstChance, level: float) -> Correspondence:
    """
    Return a correspondence that knows which classes are matched no better than chance.

    Parameters
    ----------
    found : Correspondence
    chance : AgainstChance
        Of the same classes.
    level : float
        Where p of all classes together lies above it, no class is believed to have a counterpart;
        else those whose own p lies above it.

    Returns
    -------
    Correspondence
    """
    p_of = {
        (a, b): float(chance.p_values[i, j])
        for i, a in enumerate(found.older)
        for j, b in enumerate(found.newer)
    }
    held = {
        (a, b) for a, b in found.matched.items() if chance.p_value <= level and p_of[a, b] <= level
    }
    # a class whose match is no better than chance is left over, as one without any is
    return replace(
        found,
        split_from=left_over(found.counts.T, found.newer, found.older, {b for _, b in held}),
        merged_into=left_over(found.counts, found.older, found.newer, {a for a, _ in held}),
        adrift_older=frozenset(found.older) - {a for a, _ in held},
        adrift_newer=frozenset(found.newer) - {b for _, b in held},
    )


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
    {"none", "robust", "possible", "noise", "no_correspondence"}
    """
    if relation == NO_CORRESPONDENCE:
        return NO_CORRESPONDENCE
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
