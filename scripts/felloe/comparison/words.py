"""
What the pooling dossier says in words: to its record in JSON, the page and the figure.

A dossier is the record of `comparison/populations.json`, labels are what populations are called.
"""

import math
from collections.abc import Mapping, Sequence
from typing import Any

Record = Mapping[str, Any]

QUESTIONS = {
    "related": "Are the two structures related at all? (one-sided Mantel p; a gate, no more)",
    "corrected_r": "Do the two matrices agree once noise is allowed for? "
    "(lower 95 % bound of the corrected correlation)",
    "changing_class": "Do few terms change class? (share of terms, less the median of random "
    "splits of the same people)",
    "no_change": "Does no term at all change class or subclass? (changes counted)",
    "overlap": "Do the populations sort finely and coarsely alike enough for a test to tell "
    "structure from granularity? (overlap of granularity)",
    "no_difference_found": "Is no difference found beyond granularity? (p of the adjusted test)",
    "changing_noted": "Do few enough terms change class to be printed as notes? (share of terms, "
    "less the median of random splits of the same people)",
}
REASONS = {
    "equivalent": "Both equivalence margins are met: allowing for noise the two matrices agree, "
    "and hardly more terms change class, if any, than between random splits of the same people.",
    "no_consequence": "Equivalence is not shown, but no term changes class or subclass between "
    "the populations' own charts, so pooling moves nothing.",
    "few_changes": "Equivalence is not shown, but no difference is found that goes together with "
    "a change of classes, and few terms change class; they are named.",
    "unstable_cut": "Allowing for noise the two matrices agree, but more terms change class than "
    "the margin allows: the classes of so few people are not stable. The terms are named.",
    "different": "The test adjusted for granularity finds that the populations differ, and terms "
    "change class between the populations' own charts.",
    "not_shown": "Nothing shows the populations to be alike, and more terms change class than "
    "notes can carry. Not having found a difference is no ground for pooling.",
    "unrelated": "Nothing shows that the two structures are even related.",
}
SHORT_QUESTIONS = {
    "related": "related at all (Mantel p)",
    "corrected_r": "agree, noise allowed for (low end of r)",
    "changing_class": "few change class (share beyond noise)",
    "no_change": "no term changes class or subclass",
    "overlap": "granularities overlap enough to test",
    "no_difference_found": "no difference beyond granularity (p)",
    "changing_noted": "few enough changes for notes (share)",
}
CRITERION_STYLES = {"related": "p", "no_difference_found": "p", "no_change": "count"}
HEADINGS = {
    "pool": "Pool",
    "pool_with_notes": "Pool, with notes",
    "keep_apart": "Keep apart",
}
VERDICTS = {
    "pool": "The populations may be pooled.",
    "pool_with_notes": "The populations may be pooled with notes.",
    "keep_apart": "The populations are kept apart.",
}
RULE = (
    "Pool if both equivalence margins are met, or if no term changes class or subclass. Else keep "
    "apart if the test adjusted for granularity rejects and classes change: a term that is placed "
    "differently changes class, or more terms do than in random splits of the same people. Else "
    "pool with notes if few terms change class, or if the matrices agree and only the cut of the "
    "tree does not. Else keep apart. The p of Mantel's test is a gate and decides nothing else."
)
MISSING = (
    "A term that somebody did not place counts neither as together nor as apart: people are "
    "compared on the pairs of terms that both placed, and the disagreement is scaled up to all "
    "pairs. In the adjusted test per term such a pair takes the share of all who placed it, and "
    "so says nothing. A pair that nobody of one population placed takes the pooled similarity."
)
LABEL_TESTS = (
    "Primary: a cubic in each person's share of pairs together is taken out of everybody's pairs "
    "and out of the contrast of the populations; people change places within bins of that share. "
    "Secondary, unrestricted: people change places freely, which also answers to granularity and "
    "scatter."
)


def verdict_words(dossier: Record) -> str:
    """Return the verdict on the populations and its reason."""
    return f"{VERDICTS[dossier['verdict']]} {REASONS[dossier['reason']]}"


def verdict_sentence(dossier: Record, labels: Mapping[str, str]) -> str:
    """Return the verdict on the populations, or that there is only one."""
    called = [labels[name] for name in dossier["populations"]]
    if dossier["compared"]:
        return f"{' and '.join(called)}: {verdict_words(dossier)}"
    return (
        f"All participants belong to one population ({called[0]}), so there is nothing to "
        "compare; the chart is made from all of them."
    )


def override_sentence(dossier: Record) -> str:
    """Return the words of a setting that overrides the verdict, or "" where none does."""
    pooling, verdict = dossier["pooling"], dossier["verdict"]
    if pooling == "decide" or not dossier["compared"]:
        return ""
    done = {"always": "The populations were pooled", "never": "The populations were kept apart"}
    agrees = (verdict == "keep_apart") == (pooling == "never")
    turn = "as the verdict says" if agrees else "AGAINST the verdict"
    return (
        f"{done[pooling]} because the setting comparison.pooling is '{pooling}', {turn} "
        f"({verdict})."
    )


def chart_sentence(chart: Record, labels: Mapping[str, str]) -> str:
    """Return which chart is made; `chart` is the record of `comparison/chart.json`."""
    if chart["source"] != "pooled":
        why = (
            " It is the population with most participants; comparison.chart_population names none."
            if chart["chosen_by"] == "size"
            else ""
        )
        beside = "the other populations' trees stand beside it."
        return f"The chart is that of {labels[chart['source']]} alone; {beside}{why}"
    if chart["weights"] == "equal":
        return "The chart is made from all participants; every population weighs the same."
    return "The chart is made from all participants; every participant weighs the same."


def narrowly_met(criteria: Sequence[Record], narrow: float) -> list[str]:
    """Return the keys of the criteria on the corrected correlation that little decides."""
    return [
        one["key"]
        for one in criteria
        if one["key"] == "corrected_r"
        and one["value"] is not None
        and abs(one["value"] - one["margin"]) < narrow
    ]


def few_people(dossier: Record, few: int) -> list[str]:
    """Return the populations with fewer people than `few`."""
    return [name for name, found in dossier["n_people"].items() if found < few]


def error_of_difference(n_people: int) -> str:
    """
    Return how far a difference between two populations' shares of one pair of terms errs.

    The standard error with `n_people` in each of them, where half of the people put it together.
    """
    return f"{math.sqrt(2 * 0.5 * 0.5 / n_people):.2f}"


def place_of(criteria: Sequence[Record], key: str) -> int:
    """Return where a criterion stands."""
    return [one["key"] for one in criteria].index(key)


def culture_reading(ratio: float) -> str:
    """Return the usual reading of the ratio of the first two eigenvalues."""
    if ratio >= 3.0:
        return "one way of sorting (3 or more)"
    return (
        "weak agreement on one way of sorting (2 to 3)"
        if ratio >= 2.0
        else "little agreement on one way of sorting (below 2)"
    )


def overlap_sentence(dossier: Record) -> str:
    """Return how far two populations overlap in granularity."""
    criteria = dossier["criteria"]
    overlap = dossier["granularity_difference"]["overlap"]
    sentence = f"The granularity of the two populations overlaps by {overlap:.2f}."
    if not criteria[place_of(criteria, "overlap")]["passed"]:
        sentence += (
            " That is too little for any test to tell a difference in structure from one in "
            "granularity; the unrestricted test is taken instead, which counts both."
        )
    return sentence


def missing_sentence(missing: Record) -> str:
    """Return what is done about placements that are missing."""
    return MISSING if missing["unplaced"] else "Everybody placed every term."


def multiplicity_sentence(n_pairs: int) -> str:
    """Return how several pairs of populations are allowed for, "" for one pair or none."""
    if n_pairs < 2:
        return ""
    return (
        f"{n_pairs} pairs of populations: p of the adjusted test by Holm's method, p per term "
        f"times {n_pairs} before a term is named. The gravest verdict of all pairs is the study's."
    )
