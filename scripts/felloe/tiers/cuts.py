"""Classes, subclasses and terms: nested cuts of one tree."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from felloe.clustering.choice import Limits
from felloe.ground.arrays import Bools
from felloe.ground.groups.partition import Partition
from felloe.ground.groups.tree import Tree
from felloe.ground.terms import Terms, check_same
from felloe.tiers.settings import BranchCut

ABSENT = (float("nan"), float("nan"))  # support of what is no node of the tree
# mean Jaccard coefficient of a node and what nodes of its size reach without structure
Supports = Mapping[frozenset[str], tuple[float, float]]


@dataclass(frozen=True)
class Tiers:
    """
    Two nested tiers above the terms.

    Attributes
    ----------
    classes, subclasses : Partition
    dissolved : tuple of str
        For every subclass that was merged upward: its first term.

    Raises
    ------
    DifferentTerms
        If the two are not about the same terms.
    ValueError
        If a subclass lies in several classes.
    """

    classes: Partition
    subclasses: Partition
    dissolved: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Check that every subclass lies within one class."""
        check_same(self.classes.terms, self.subclasses.terms, "the classes", "the subclasses")
        for number, name in enumerate(self.subclasses.ids):
            homes = np.unique(self.classes.labels[self.subclasses.labels == number])
            if len(homes) > 1:
                raise ValueError(f"the subclass of {name!r} lies in {len(homes)} classes")

    @property
    def terms(self) -> Terms:
        """The terms of both."""
        return self.classes.terms

    def is_class(self, inside: Bools) -> bool:
        """Say whether (N,) bool members are the whole of the class of their first term."""
        own = self.classes.labels == self.classes.labels[np.argmax(inside)]
        return bool(own.sum() == inside.sum())


def nested_cut(tree: Tree, n_classes: int, n_subclasses: int) -> Tiers:
    """
    Cut one tree twice.

    Parameters
    ----------
    tree : Tree
    n_classes, n_subclasses : int
        `n_subclasses` is not smaller.

    Returns
    -------
    Tiers

    Raises
    ------
    ValueError
        If the numbers cannot be cut.
    """
    if n_subclasses < n_classes:
        raise ValueError(f"{n_subclasses} subclasses cannot lie within {n_classes} classes")
    return Tiers(tree.cut(n_classes), tree.cut(n_subclasses))


def cut_branch(tree: Tree, tiers: Tiers, cut: BranchCut) -> Tiers:
    """
    Cut the class of one term into another number of subclasses.

    Parameters
    ----------
    tree : Tree
    tiers : Tiers
    cut : BranchCut

    Returns
    -------
    Tiers

    Raises
    ------
    ValueError
        If the class has fewer terms than that.
    """
    check_same(tree.terms, tiers.terms, "the tree", "the tiers")
    inside = class_of(tiers, cut.term)
    if not 1 <= cut.subclasses <= inside.sum():
        raise ValueError(f"a class of {inside.sum()} terms cannot have {cut.subclasses} subclasses")
    n_terms = len(tree.terms)
    for k in range(1, n_terms + 1):
        finer = tree.cut(k).labels[inside]
        if len(np.unique(finer)) == cut.subclasses:
            break
    labels = tiers.subclasses.labels.copy()
    labels[inside] = n_terms + finer
    return Tiers(tiers.classes, Partition(tree.terms, labels), tiers.dissolved)


def class_of(tiers: Tiers, term: str) -> Bools:
    """Return the (N,) bool members of the class of a term."""
    labels = tiers.classes.labels
    return np.asarray(labels == labels[tiers.terms.places([term])[0]])


def merge_upward(tree: Tree, tiers: Tiers, keeps: Callable[[Bools], bool]) -> Tiers:
    """
    Merge subclasses that do not hold with what the tree puts beside them.

    The subclass with the fewest terms among those that fail, then the first in term order,
    goes first: it and all subclasses under the next merge of the tree become one. A class is
    never left; a subclass that is its whole class stays.

    Parameters
    ----------
    tree : Tree
    tiers : Tiers
    keeps : callable
        Takes the (N,) bool members of a subclass, says whether it holds.

    Returns
    -------
    Tiers
    """
    check_same(tree.terms, tiers.terms, "the tree", "the tiers")
    below = tree.members()
    labels, dissolved = tiers.subclasses.labels.copy(), list(tiers.dissolved)
    while True:
        failing = [
            (int(inside.sum()), int(np.argmax(inside)))
            for inside in (labels == one for one in np.unique(labels))
            if not keeps(inside) and not tiers.is_class(inside)
        ]
        if not failing:
            return Tiers(tiers.classes, Partition(tree.terms, labels), tuple(dissolved))
        size, first = min(failing)
        # merges come from low to high, so the first larger group that holds it is the next one
        above = next(group for group in below if group[first] and group.sum() > size)
        dissolved.append(tree.terms[first])
        labels[above] = labels[first]


def place_subclasses(
    tree: Tree,
    numbers: tuple[int, int],
    branch_cuts: Iterable[BranchCut],
    supports: Supports,
    limits: Limits | None,
) -> Tiers:
    """
    Cut the tree into classes and subclasses, and merge subclasses that do not hold.

    Parameters
    ----------
    tree : Tree
    numbers : (int, int)
        Classes and subclasses.
    branch_cuts : iterable of BranchCut
        Subclasses of these classes stay as they were asked for.
    supports : Supports
        By the terms of each node of the tree.
    limits : Limits or None
        What a subclass needs to hold; None keeps all of them.

    Returns
    -------
    Tiers

    Raises
    ------
    ValueError
        If a branch cannot be cut as asked.
    """
    tiers = nested_cut(tree, *numbers)
    by_hand = np.zeros(len(tree.terms), dtype=bool)
    for cut in branch_cuts:
        tiers = cut_branch(tree, tiers, cut)
        by_hand |= class_of(tiers, cut.term)
    if limits is None:
        return tiers

    def keeps(inside: Bools) -> bool:
        if by_hand[inside].all():
            return True
        group = frozenset(tree.terms[place] for place in np.flatnonzero(inside))
        support, without_structure = supports.get(group, ABSENT)
        size = int(inside.sum())
        return not limits.failure(size, limits.subclass_size, support, without_structure)

    return merge_upward(tree, tiers, keeps)
