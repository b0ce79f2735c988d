"""Classes, subclasses and terms: nested cuts of one tree, and how firmly each term sits."""

from dataclasses import dataclass

import numpy as np

from felloe.ground.linkage import cut, members
from felloe.ground.partition import number_by_appearance


@dataclass(frozen=True)
class Tiers:
    """
    Two nested tiers above the terms.

    Attributes
    ----------
    classes, subclasses : (N,) array of int
        Labels numbered by first appearance in term order.
    dissolved : tuple of int
        For every subclass that was merged upward: its first term.
    """

    classes: np.ndarray
    subclasses: np.ndarray
    dissolved: tuple = ()


def nested_cut(Z, n_classes, n_subclasses):
    """
    Cut one tree twice.

    Parameters
    ----------
    Z : (N - 1, 4) array of float
    n_classes, n_subclasses : int
        `n_subclasses` is not smaller.

    Returns
    -------
    Tiers

    Raises
    ------
    ValueError
        If the numbers cannot be cut or the cuts do not nest.
    """
    if n_subclasses < n_classes:
        raise ValueError(f"{n_subclasses} subclasses cannot lie within {n_classes} classes")
    tiers = Tiers(cut(Z, n_classes), cut(Z, n_subclasses))
    check_nested(tiers.classes, tiers.subclasses)
    return tiers


def check_nested(classes, subclasses):
    """Raise ValueError unless every subclass lies within one class."""
    for subclass in np.unique(subclasses):
        homes = np.unique(classes[subclasses == subclass])
        if len(homes) > 1:
            raise ValueError(f"subclass {subclass} lies in {len(homes)} classes")


def cut_branch(Z, tiers, term, number):
    """
    Cut the class of one term into another number of subclasses.

    Parameters
    ----------
    Z : (N - 1, 4) array of float
    tiers : Tiers
    term : int
        Any term of the class.
    number : int
        Subclasses wanted in that class.

    Returns
    -------
    Tiers

    Raises
    ------
    ValueError
        If the class has fewer terms than that.
    """
    inside = tiers.classes == tiers.classes[term]
    if not 1 <= number <= inside.sum():
        raise ValueError(f"a class of {inside.sum()} terms cannot have {number} subclasses")
    n_terms = len(inside)
    for k in range(1, n_terms + 1):
        finer = cut(Z, k)[inside]
        if len(np.unique(finer)) == number:
            break
    labels = tiers.subclasses.copy()
    labels[inside] = n_terms + finer
    return Tiers(tiers.classes, number_by_appearance(labels), tiers.dissolved)


def merge_upward(Z, tiers, keeps):
    """
    Merge subclasses that do not hold with what the tree puts beside them.

    The subclass with the fewest terms among those that fail, then the first in term order,
    goes first: it and all subclasses under the next merge of the tree become one. A class is
    never left; a subclass that is its whole class stays.

    Parameters
    ----------
    Z : (N - 1, 4) array of float
    tiers : Tiers
    keeps : callable
        Takes the (N,) bool members of a subclass, says whether it holds.

    Returns
    -------
    Tiers
    """
    below = members(Z)
    labels, dissolved = tiers.subclasses.copy(), []
    while True:
        failing = [
            (int(inside.sum()), int(np.argmax(inside)))
            for inside in (labels == one for one in np.unique(labels))
            if not keeps(inside) and not _whole_class(tiers.classes, inside)
        ]
        if not failing:
            return Tiers(tiers.classes, number_by_appearance(labels), tuple(dissolved))
        size, first = min(failing)
        # merges come from low to high, so the first larger group that holds it is the next one
        above = next(group for group in below if group[first] and group.sum() > size)
        dissolved.append(first)
        labels[above] = labels[first]


def _whole_class(classes, inside):
    return (classes == classes[np.argmax(inside)]).sum() == inside.sum()


def mean_similarity(S, classes):
    """
    Mean similarity of every term to the other terms of every class.

    Parameters
    ----------
    S : (N, N) array of float
        Share of participants who put two terms together.
    classes : (N,) array of int

    Returns
    -------
    (N, K) array of float
        nan for a term's own class where it is alone in it.
    """
    inside = np.eye(classes.max() + 1)[classes]
    off = S * (1.0 - np.eye(len(S)))
    counts = inside.sum(axis=0) - inside
    sums = np.stack([off[:, column > 0].sum(axis=1) for column in inside.T], axis=1)
    return np.divide(sums, counts, out=np.full(sums.shape, np.nan), where=counts > 0)


FIRM, DOUBTFUL, UNDECIDED = "firm", "doubtful", "undecided"


@dataclass(frozen=True)
class StatusRule:
    """
    What decides how firmly a term sits.

    Attributes
    ----------
    firm, undecided : float
        Home-class probabilities from which a term is firm, and below which it is undecided.
    chance : float
        Mean share of pairs that a participant puts together.
    """

    firm: float
    undecided: float
    chance: float

    def words(self):
        """Return the rule as it is printed."""
        return (
            f"undecided: home-class probability below {self.undecided:g}, or mean similarity to "
            f"the other terms of the class below the chance level {self.chance:.3f}; "
            f"firm: home-class probability of at least {self.firm:g}, in a class that holds, "
            "where the order in which tied distances are met moves the term in less than "
            f"{1 - self.firm:g} of the orders; doubtful: all others"
        )

    def judge(self, probability, similarity, class_holds, tie_share):
        """
        Judge one term.

        Parameters
        ----------
        probability : float
        similarity : float
            Mean similarity to the other terms of its class; nan if there are none.
        class_holds : bool
        tie_share : float
            Share of input orders in which the term leaves its class.

        Returns
        -------
        status : str
        reason : str
            Empty for a firm term.
        """
        if probability < self.undecided:
            return UNDECIDED, f"home-class probability below {self.undecided:g}"
        if similarity < self.chance:
            return UNDECIDED, "no more similar to its class than chance"
        if probability < self.firm:
            return DOUBTFUL, f"home-class probability below {self.firm:g}"
        if not class_holds:
            return DOUBTFUL, "its class is too small or not supported"
        if tie_share >= 1 - self.firm:
            return DOUBTFUL, "its class depends on how ties are broken"
        return FIRM, ""


def first_terms(labels, terms):
    """
    Name every group after its alphabetically first term.

    Parameters
    ----------
    labels : (N,) array of int
    terms : sequence of str
        In sorted order.

    Returns
    -------
    list of str
        One name per term.
    """
    return [terms[int(np.argmax(labels == label))] for label in labels]


def nearest_terms(S, term, number=3):
    """Return the `number` terms most similar to one, most similar first, ties in term order."""
    row = S[term].copy()
    row[term] = -np.inf
    return [int(place) for place in np.argsort(-row, kind="stable")[:number]]
