"""Placing every term: its class and subclass, and how firmly it sits there."""

from dataclasses import dataclass

import numpy as np

from felloe.clustering.consensus import Homes
from felloe.tiers.cuts import Tiers, cut_branch, mean_similarity, merge_upward, nested_cut


def place_subclasses(Z, numbers, branch_cuts, supports, limits, merging):
    """
    Cut the tree into classes and subclasses, and merge subclasses that do not hold.

    Parameters
    ----------
    Z : (N - 1, 4) array of float
    numbers : (int, int)
        Classes and subclasses.
    branch_cuts : list of (term, number)
        Other numbers of subclasses for the classes of single terms.
    supports : NodeSupports
    limits : Limits
    merging : bool
        Merge upward; else subclasses that do not hold stay as they are.

    Returns
    -------
    Tiers

    Raises
    ------
    ValueError
        If a branch cannot be cut as asked.
    """
    tiers = nested_cut(Z, *numbers)
    by_hand = np.zeros(len(tiers.classes), dtype=bool)
    for term, number in branch_cuts:
        tiers = cut_branch(Z, tiers, term, number)
        by_hand |= tiers.classes == tiers.classes[term]
    if not merging:
        return tiers

    def keeps(inside):
        # a branch that was cut by hand stays as it was asked for
        if by_hand[inside].all():
            return True
        size = int(inside.sum())
        return not limits.failure(size, limits.subclass_size, *supports.of(inside))

    return merge_upward(Z, tiers, keeps)


@dataclass(frozen=True)
class Evidence:
    """
    What is known of every term's place.

    Attributes
    ----------
    tiers : Tiers
    homes : Homes
        In the numbering of `tiers.classes`.
    holds : (K,) array of bool
        Whether each class is large enough and supported.
    tie_share : (N,) array of float
        Share of input orders in which the term leaves its class.
    rogues : (N,) array of bool
    """

    tiers: Tiers
    homes: Homes
    holds: np.ndarray
    tie_share: np.ndarray
    rogues: np.ndarray


@dataclass(frozen=True)
class Placement:
    """
    How firmly every term sits.

    Attributes
    ----------
    status, reason : list of str
    similarity_home, similarity_rival : (N,) array of float
        Mean share of participants who put the term with the other terms of its class, and of
        its rival class; nan where there is no such term.
    """

    status: list
    reason: list
    similarity_home: np.ndarray
    similarity_rival: np.ndarray


def judge_terms(S, evidence, rule):
    """
    Judge every term.

    Parameters
    ----------
    S : (N, N) array of float
        Share of participants who put two terms together.
    evidence : Evidence
    rule : StatusRule

    Returns
    -------
    Placement
    """
    classes, homes = evidence.tiers.classes, evidence.homes
    home, rival = similarities(S, classes, homes.rival)
    judged = [
        rule.judge(*one)
        for one in zip(
            homes.home_probability, home, evidence.holds[classes], evidence.tie_share, strict=True
        )
    ]
    return Placement([one for one, _ in judged], [why for _, why in judged], home, rival)


def similarities(S, classes, rivals):
    """
    Mean similarity of every term to its own class and to its rival.

    Parameters
    ----------
    S : (N, N) array of float
    classes, rivals : (N,) array of int
        `rivals` holds -1 where there is none.

    Returns
    -------
    home, rival : (N,) array of float
        nan where there is no such term.
    """
    means = mean_similarity(S, classes)
    terms = np.arange(len(S))
    of_rival = np.where(rivals >= 0, means[terms, np.maximum(rivals, 0)], np.nan)
    return means[terms, classes], of_rival


def leaning(home, rival):
    """
    Say which of two classes a population leans to.

    Parameters
    ----------
    home, rival : float
        Mean similarities; nan if not measured.

    Returns
    -------
    str
        'home', 'rival', or 'neither' where the two are equal or not measured.
    """
    if np.isnan(home) or np.isnan(rival) or home == rival:
        return "neither"
    return "home" if home > rival else "rival"
