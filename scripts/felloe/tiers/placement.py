"""How firmly every term sits in its class, and what is known of those that do not."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from felloe.comparison.correlating.shares import shares_together
from felloe.ground.arrays import Array, Bools, Floats, Ints
from felloe.ground.distances import Distances
from felloe.ground.people.counts import Counts
from felloe.ground.terms import check_same
from felloe.tiers.cuts import Supports, Tiers

FIRM, DOUBTFUL, UNDECIDED = "firm", "doubtful", "undecided"
HOME, RIVAL, NEITHER = "home", "rival", "neither"
Reason = Literal["below_undecided", "chance", "below_firm", "weak_class", "ties"]


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

    @property
    def tie_share(self) -> float:
        """Share of input orders from which a term that leaves its class in them is not firm."""
        return 1 - self.firm

    def judge(
        self, probability: float, similarity: float, class_holds: bool, tie_share: float
    ) -> tuple[str, tuple[Reason, ...]]:
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
        status : {'firm', 'doubtful', 'undecided'}
        reasons : tuple of str
            The codes of all that hold of those that make this status; none for a firm term.
        """
        weighed: tuple[tuple[str, dict[Reason, bool]], ...] = (
            (
                UNDECIDED,
                {
                    "below_undecided": probability < self.undecided,
                    "chance": similarity < self.chance,
                },
            ),
            (
                DOUBTFUL,
                {
                    "below_firm": probability < self.firm,
                    "weak_class": not class_holds,
                    "ties": tie_share >= self.tie_share,
                },
            ),
        )
        for status, said in weighed:
            reasons = tuple(code for code, holds in said.items() if holds)
            if reasons:
                return status, reasons
        return FIRM, ()


@dataclass(frozen=True)
class Evidence:
    """
    What is known of every term's place, in the order of the terms.

    Attributes
    ----------
    tiers : Tiers
    home_probability : (N,) array of float
        Share of redraws in which the term falls into its class.
    rival : tuple of str
        The class, other than its own, that it falls into most often; empty if there is none.
    rival_probability : (N,) array of float
    holds : (N,) array of bool
        Whether the term's class is large enough and supported.
    tie_share : (N,) array of float
        Share of input orders in which the term leaves its class.
    rogues : (N,) array of bool
    supports : Supports
        Of the nodes of the tree.

    Raises
    ------
    ValueError
        If the sizes do not fit together, or a rival is no class.
    """

    tiers: Tiers
    home_probability: Floats
    rival: tuple[str, ...]
    rival_probability: Floats
    holds: Bools
    tie_share: Floats
    rogues: Bools
    supports: Supports

    def __post_init__(self) -> None:
        """Check sizes and the ids of rivals."""
        parts = (self.home_probability, self.rival, self.rival_probability, self.holds)
        sizes = {len(part) for part in (*parts, self.tie_share, self.rogues)}
        if sizes != {len(self.tiers.terms)}:
            raise ValueError(f"evidence of {sizes} terms does not fit {len(self.tiers.terms)}")
        if unknown := set(self.rival) - {"", *self.tiers.classes.ids}:
            raise ValueError(f"rivals that are no classes: {sorted(unknown)}")

    @property
    def margin(self) -> Floats:
        """Home less rival probability, -1 to 1."""
        return self.home_probability - self.rival_probability

    @property
    def rival_labels(self) -> Ints:
        """The number of the rival class of every term, -1 for none."""
        number = {"": -1} | {name: place for place, name in enumerate(self.tiers.classes.ids)}
        return np.array([number[name] for name in self.rival], dtype=np.int64)


@dataclass(frozen=True)
class Placement:
    """
    How firmly every term sits.

    Attributes
    ----------
    status : tuple of str
    reasons : tuple of tuple of str
        Codes; see `StatusRule.judge`.
    similarity_home, similarity_rival : (N,) array of float
        Mean share of participants who put the term with the other terms of its class, and of
        its rival class; nan where there is no such term.
    """

    status: tuple[str, ...]
    reasons: tuple[tuple[Reason, ...], ...]
    similarity_home: Floats
    similarity_rival: Floats


def judge_terms(distances: Distances, evidence: Evidence, rule: StatusRule) -> Placement:
    """
    Judge every term.

    Parameters
    ----------
    distances : Distances
        Shares of participants who kept two terms apart.
    evidence : Evidence
    rule : StatusRule

    Returns
    -------
    Placement
    """
    check_same(distances.terms, evidence.tiers.terms, "the distances", "the tiers")
    home, rival = similarities(
        distances.similarity, evidence.tiers.classes.labels, evidence.rival_labels
    )
    judged = [
        rule.judge(float(probability), float(similarity), bool(holds), float(share))
        for probability, similarity, holds, share in zip(
            evidence.home_probability, home, evidence.holds, evidence.tie_share, strict=True
        )
    ]
    return Placement(tuple(one for one, _ in judged), tuple(why for _, why in judged), home, rival)


def mean_similarity(S: Array, classes: Ints) -> Floats:
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
    means: Floats = np.divide(sums, counts, out=np.full(sums.shape, np.nan), where=counts > 0)
    return means


def similarities(S: Array, classes: Ints, rivals: Ints) -> tuple[Floats, Floats]:
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


@dataclass(frozen=True)
class Leanings:
    """
    What each population alone says of every term.

    Attributes
    ----------
    populations : tuple of str
    home, rival : (n_populations, N) array of float
        Mean share of its participants who put the term with the other terms of its class, and of
        its rival class; nan where there is no such term.
    """

    populations: tuple[str, ...]
    home: Floats
    rival: Floats

    def sides(self, place: int) -> list[str]:
        """Return what every population leans to for the term at a place."""
        return [leaning(home[place], rival[place]) for home, rival in zip(self.home, self.rival)]


def leanings_of(counts: Mapping[str, Counts], evidence: Evidence) -> Leanings:
    """
    Measure what each population alone says of every term.

    Parameters
    ----------
    counts : mapping of str to Counts
        By population. A pair that nobody of a population placed counts as never put together; of
        partial sorts it takes the mean.
    evidence : Evidence

    Returns
    -------
    Leanings
    """
    classes, rivals = evidence.tiers.classes.labels, evidence.rival_labels
    found = []
    for name, one in counts.items():
        check_same(one.terms, evidence.tiers.terms, f"the counts of {name}", "the tiers")
        found.append(similarities(shares_together(one, 0.0), classes, rivals))
    return Leanings(
        tuple(counts), np.array([home for home, _ in found]), np.array([one for _, one in found])
    )


def leaning(home: float, rival: float) -> str:
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
        return NEITHER
    return HOME if home > rival else RIVAL
