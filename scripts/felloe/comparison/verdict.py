"""May two populations be pooled? The rule, and every criterion with its margin."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

Asked = Literal["at least", "at most", "above"]
POOL, NOTES, APART, CANNOT = "pool", "pool_with_notes", "keep_apart", "cannot_tell"
SEVERITY = (POOL, NOTES, CANNOT, APART)  # of several pairs of populations the last one counts


@dataclass(frozen=True)
class Margins:
    """
    What has to be met; best agreed before the data are seen.

    Attributes
    ----------
    corrected_r : float
        Asked of the lower end of the interval of the corrected correlation.
    reliability : float
        Least stepped-up split-half reliability of both populations at which agreement of their
        matrices means something.
    changing_class : float
        Largest share of terms that may change class beyond what random divisions of the same
        people change.
    stable_cut : float
        Largest share of terms that random divisions of the same people may change (their median)
        for changes of class to say anything, either way.
    named_terms : float
        Largest share of terms that may be named as placed differently in pooling with notes.
    alpha : float
        Level of the tests.
    """

    corrected_r: float
    reliability: float
    changing_class: float
    stable_cut: float
    named_terms: float
    alpha: float


@dataclass(frozen=True)
class Evidence:
    """
    What was found; nan where it could not be computed, as from counts alone.

    Attributes
    ----------
    mantel_p : float
    reliability : float
        The smaller of the two populations'.
    corrected_low, corrected_low_without : float
        Lower end of the interval of the corrected correlation, over all terms and without the
        named ones.
    n_terms, named : int
        All terms, and those placed differently beyond granularity and beyond noise.
    class_changes, subclass_changes : int
        Terms that change between the populations' own charts.
    expected_class_changes, usual_class_changes : float
        Median and 95 % point over random divisions of the same people; nan where unknown.
    named_class_changes : int
        Named terms that change class.
    p_matched : float
        Of the test between people matched by granularity.
    """

    mantel_p: float
    reliability: float
    corrected_low: float
    corrected_low_without: float
    n_terms: int
    named: int
    class_changes: int
    subclass_changes: int
    expected_class_changes: float
    usual_class_changes: float
    named_class_changes: int
    p_matched: float

    @property
    def excess(self) -> float:
        """Share of terms that change class beyond the median of random divisions."""
        return (self.class_changes - self.expected_class_changes) / self.n_terms

    @property
    def instability(self) -> float:
        """Share of terms that random divisions of the same people change in the median."""
        return self.expected_class_changes / self.n_terms


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
    verdict : {"pool", "pool_with_notes", "keep_apart", "cannot_tell"}
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
    Apply the rule; the burden of proof lies with pooling.

    Equivalence counts only where both populations are reliable. Pool where it is shown over all
    terms and no term is named. Pool with notes where few terms are named and it is shown without
    them. Keep apart where the matched test finds a difference, terms are named, and classes change:
    a named term does, or more terms than in nearly all random divisions of the same people. Else
    nothing is shown and nobody can tell. Changes of class say something only where random
    divisions change few terms. Mantel's p is a gate: what is not even related is not pooled.

    Parameters
    ----------
    evidence : Evidence
    margins : Margins

    Returns
    -------
    Verdict
    """
    related = criterion("related", evidence.mantel_p, "at most", margins.alpha)
    reliable = criterion("reliability", evidence.reliability, "at least", margins.reliability)
    alike = criterion("corrected_r", evidence.corrected_low, "at least", margins.corrected_r)
    without = criterion(
        "corrected_r_without", evidence.corrected_low_without, "at least", margins.corrected_r
    )
    none = criterion("no_term_named", evidence.named, "at most", 0)
    named = evidence.named / evidence.n_terms
    few = criterion("few_terms_named", named, "at most", margins.named_terms)
    stable = criterion("stable_cut", evidence.instability, "at most", margins.stable_cut)
    usual = criterion("changing_class", evidence.excess, "at most", margins.changing_class)
    same = criterion("no_difference_found", evidence.p_matched, "above", margins.alpha)
    beyond_splits = evidence.class_changes > evidence.usual_class_changes
    more_change = stable.passed and beyond_splits and not usual.passed
    classes_change = evidence.named_class_changes > 0 or more_change
    proven = related.passed and reliable.passed
    if proven and none.passed and alike.passed and not more_change:
        verdict, reason = POOL, "equivalent"
    elif proven and evidence.named > 0 and few.passed and without.passed:
        verdict, reason = NOTES, "equivalent_without_named"
    elif evidence.p_matched <= margins.alpha and evidence.named > 0 and classes_change:
        verdict, reason = APART, "different"
    elif not reliable.passed:
        verdict, reason = CANNOT, "unreliable"
    elif not related.passed:
        verdict, reason = CANNOT, "unrelated"
    else:
        verdict, reason = CANNOT, "not_shown"
    criteria = (related, reliable, alike, none, few, without, same, stable, usual)
    return Verdict(verdict, reason, criteria)


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
