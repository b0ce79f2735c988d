"""What is assumed of terms and people before there are any data."""

from dataclasses import dataclass

import numpy as np

from felloe.ground.arrays import Ints


@dataclass(frozen=True)
class Truth:
    """
    The groups that people know.

    Attributes
    ----------
    classes : (n_terms,) array of int
        From 0.
    subclasses : (n_terms,) array of int
        From 0; each within one class.

    Raises
    ------
    ValueError
        If a subclass lies in two classes.
    """

    classes: Ints
    subclasses: Ints

    def __post_init__(self) -> None:
        """Check that subclasses are nested."""
        pairs = np.unique(np.stack([self.subclasses, self.classes]), axis=1)
        if pairs.shape[1] != len(np.unique(self.subclasses)):
            raise ValueError("a subclass lies in two classes")

    @property
    def n_terms(self) -> int:
        """The number of terms."""
        return len(self.classes)

    @property
    def numbers(self) -> tuple[int, int]:
        """The numbers of classes and of subclasses."""
        return len(np.unique(self.classes)), len(np.unique(self.subclasses))


@dataclass(frozen=True)
class Habits:
    """
    How people sort.

    Attributes
    ----------
    coarse : float
        Chance that a person makes a pile of every class; else of every subclass.
    astray : float
        Chance that a term goes into one of the person's own piles at random.
    """

    coarse: float
    astray: float


def even_truth(n_terms: int, classes: int, subclasses_each: int) -> Truth:
    """
    Return classes and subclasses as equal in size as whole terms allow.

    Parameters
    ----------
    n_terms, classes, subclasses_each : int
        At least one term for each subclass.

    Returns
    -------
    Truth
    """
    subclasses = np.arange(n_terms) * (classes * subclasses_each) // n_terms
    return Truth(subclasses // subclasses_each, subclasses)


def like_truth(truth: Truth, n_terms: int) -> Truth:
    """
    Return groups of as many terms as wanted, with about the shares that they have in another truth.

    Parameters
    ----------
    truth : Truth
        Of a pilot, on its own terms.
    n_terms : int
        At least one for each subclass of the pilot.

    Returns
    -------
    Truth
        Every subclass keeps a term; what is left goes by largest remainder, ties by number.
    """
    numbers, first, sizes = np.unique(truth.subclasses, return_index=True, return_counts=True)
    exact = sizes / sizes.sum() * (n_terms - len(numbers))
    counts = np.floor(exact).astype(int)
    order = np.argsort(-np.round(exact - counts, 9), kind="stable")
    counts[order[: n_terms - len(numbers) - int(counts.sum())]] += 1
    subclasses = np.repeat(np.arange(len(numbers)), counts + 1)
    return Truth(truth.classes[first][subclasses], subclasses)


def moved_truth(rng: np.random.Generator, truth: Truth, n_moved: int) -> Truth:
    """
    Return a truth in which some terms belong to a subclass of another class.

    Draws for fewer terms are the first draws for more, so that movements are nested.

    Parameters
    ----------
    rng : numpy.random.Generator
    truth : Truth
        Of two classes at least.
    n_moved : int

    Returns
    -------
    Truth
    """
    classes, subclasses = truth.classes.copy(), truth.subclasses.copy()
    places = rng.permutation(truth.n_terms)
    chances = rng.random(truth.n_terms)
    of_subclass = dict(zip(truth.subclasses.tolist(), truth.classes.tolist(), strict=True))
    for term in places[:n_moved]:
        others = [one for one, above in of_subclass.items() if above != truth.classes[term]]
        subclasses[term] = others[int(chances[term] * len(others))]
        classes[term] = of_subclass[int(subclasses[term])]
    return Truth(classes, subclasses)
