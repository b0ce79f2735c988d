"""May two populations be pooled? The rule, and every criterion with its margin."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

Asked = Literal["at least", "at most", "above"]
POOL, NOTES, APART = "pool", "pool_with_notes", "keep_apart"
SEVERITY = (POOL, NOTES, APART)


@dataclass(frozen=True)
class Margins:
    """
    What was agreed before the data were seen.

    Attributes
    ----------
    corrected_r : float
        Asked of the lower end of the interval of the corrected correlation.
    changing_class, changing_noted : float
        Largest share of terms that may change class beyond what random divisions of the same
        people change: for pooling, and for pooling with notes.
    alpha : float
        Level of the tests.
    overlap : float
        Least overlap of granularity at which the adjusted test can tell anything.
    """

    corrected_r: float
    changing_class: float
    changing_noted: float
    alpha: float
    overlap: float


@dataclass(frozen=True)
class Evidence:
    """
    What was found; nan where it could not be computed, as from counts alone.

    Attributes
    ----------
    mantel_p : float
    corrected_low : float
        Lower end of the interval of the corrected correlation.
    class_changes, subclass_changes : int
        Terms that change between the populations' own charts.
    expected_class_changes : float
        Median over random divisions of the same people; 0 where unknown.
    differing_class_changes : int
        Terms that change class and are found to be placed differently beyond granularity.
    n_terms : int
    p_adjusted, p_unrestricted : float
    overlap : float
    """

    mantel_p: float
    corrected_low: float
    class_changes: int
    subclass_changes: int
    expected_class_changes: float
    differing_class_changes: int
    n_terms: int
    p_adjusted: float
    p_unrestricted: float
    overlap: float

    @property
    def classes_change(self) -> bool:
        """Whether classes change beyond noise: a differing term does, or more than by chance."""
        return self.differing_class_changes > 0 or self.excess > 0

    @property
    def excess(self) -> float:
        """Share of terms that change class beyond what random divisions change."""
        return (self.class_changes - self.expected_class_changes) / self.n_terms


@dataclass(frozen=True)
class Criterion:
    """
    One question of the rule.

    Attributes
    ----------
    key : str
    value, margin : float
        value is nan where it could not be computed: the criterion is then not met.
    comparison : {"at least", "at most", "above"}
        What the value has to be to the margin.
    passed : bool
    """

    key: str
    value: float
    margin: float
    comparison: Asked
    passed: bool


@dataclass(frozen=True)
class Verdict:
    """
    Attributes
    ----------
    verdict : {"pool", "pool_with_notes", "keep_apart"}
    reason : str
        Which branch of the rule was taken.
    criteria : tuple of Criterion
    """

    verdict: str
    reason: str
    criteria: tuple[Criterion, ...]


def criterion(key: str, value: float, comparison: Asked, margin: float) -> Criterion:
    """Return a criterion, answered; an unknown value never passes."""
    passed = {
        "at least": value >= margin,
        "at most": value <= margin,
        "above": value > margin,
    }[comparison]
    return Criterion(key, value, margin, comparison, bool(passed))


def decide(evidence: Evidence, margins: Margins) -> Verdict:
    """
    Apply the rule.

    Pool where both equivalence margins are met, or where no term changes class or subclass.
    Else keep apart where the test rejects and classes change beyond noise. Else pool with
    notes where few terms change, or where the matrices agree and only the cut of the tree does
    not. Else keep apart: what is not shown alike is not pooled on the ground that nothing was
    found. Mantel's p is a gate: populations that are not even related are kept apart.

    Parameters
    ----------
    evidence : Evidence
    margins : Margins

    Returns
    -------
    Verdict
    """
    told = criterion("overlap", evidence.overlap, "at least", margins.overlap)
    p_value = evidence.p_adjusted if told.passed else evidence.p_unrestricted
    related = criterion("related", evidence.mantel_p, "at most", margins.alpha)
    alike = criterion("corrected_r", evidence.corrected_low, "at least", margins.corrected_r)
    few = criterion("changing_class", evidence.excess, "at most", margins.changing_class)
    noted = criterion("changing_noted", evidence.excess, "at most", margins.changing_noted)
    none = criterion("no_change", evidence.class_changes + evidence.subclass_changes, "at most", 0)
    same = criterion("no_difference_found", p_value, "above", margins.alpha)
    if not related.passed:
        verdict, reason = APART, "unrelated"
    elif alike.passed and few.passed:
        verdict, reason = POOL, "equivalent"
    elif none.passed:
        verdict, reason = POOL, "no_consequence"
    elif p_value <= margins.alpha and evidence.classes_change:
        verdict, reason = APART, "different"
    elif noted.passed:
        verdict, reason = NOTES, "few_changes"
    elif alike.passed:
        verdict, reason = NOTES, "unstable_cut"
    else:
        verdict, reason = APART, "not_shown"
    return Verdict(verdict, reason, (related, alike, few, none, told, same, noted))


def holm(p_values: Sequence[float]) -> list[float]:
    """
    Adjust p-values for their number.

    Parameters
    ----------
    p_values : sequence of float

    Returns
    -------
    list of float
        In the given order, never smaller than they were.

    References
    ----------
    Holm (1979), Scandinavian Journal of Statistics 6:65-70 (from memory).
    """
    order = sorted(range(len(p_values)), key=lambda index: p_values[index])
    adjusted, largest = [0.0] * len(p_values), 0.0
    for rank, index in enumerate(order):
        largest = max(largest, min(1.0, (len(p_values) - rank) * p_values[index]))
        adjusted[index] = largest
    return adjusted
