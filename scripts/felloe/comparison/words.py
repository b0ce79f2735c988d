"""The sentences of the pooling dossier."""

import math

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
ADJUSTED = (
    "Primary: a cubic in each person's share of pairs together is taken out of everybody's pairs "
    "and out of the contrast of the populations; people change places within bins of that share. "
    "Secondary, unrestricted: people change places freely, which also answers to granularity and "
    "scatter."
)


def shown(value, decimals=3):
    """Return a number for a sentence."""
    if value is None or math.isnan(value):
        return "unknown"
    return f"{value:.{decimals}f}"


def shown_p(p_value, permutations):
    """Return a p with as many decimals as its permutations give it."""
    return f"{p_value:.{max(3, len(str(permutations)))}f}"


def mantel_sentence(result, alpha):
    """Return what a Mantel test shows, and what it does not."""
    numbers = (
        f"(r = {shown(result.correlation)}, one-sided permutation p = "
        f"{shown_p(result.p_value, result.permutations)}, {result.permutations} permutations, "
        f"{result.n_terms} terms)"
    )
    if result.p_value <= alpha:
        return (
            f"The two groups' co-occurrence matrices are positively associated {numbers}. This "
            "excludes unrelated structures; it is not evidence that the groups sort identically "
            "and is not by itself a ground for pooling."
        )
    return (
        f"The two groups' co-occurrence matrices are not shown to be associated {numbers}. "
        "Nothing excludes unrelated structures."
    )


def noise_sentence(splits, corrected):
    """Return how the observed correlation stands to the noise ceiling; splits by percentage."""
    low, middle, high = (splits[name] for name in ("5", "50", "95"))
    return (
        f"The two matrices correlate by {shown(corrected.correlation)}. Random splits of the same "
        f"people into groups of these sizes correlate by {shown(middle)} (5 to 95 %: {shown(low)} "
        f"to {shown(high)}): more than that nobody can ask. Corrected for the noise of both, the "
        f"correlation is {shown(corrected.corrected)} (95 % interval {shown(corrected.low)} to "
        f"{shown(corrected.high)})."
    )


def label_sentence(people, p_adjusted, alpha):
    """Return what the tests that shuffle people show."""
    found = p_adjusted <= alpha
    turn = "differ" if found else "are not found to differ"
    m = people.adjusted.permutations
    sentence = (
        f"Beyond how coarsely their people sort, the populations {turn} (p = "
        f"{shown_p(p_adjusted, m)}; unrestricted, granularity and scatter included, p = "
        f"{shown_p(people.unrestricted.p_value, m)})."
    )
    return (
        sentence
        if found
        else f"{sentence} Not finding a difference does not show that there is none."
    )


def dispersion_sentence(dispersion, labels, alpha):
    """Return whether the people of one population agree less with each other."""
    numbers = (
        f"(F = {dispersion.f:.2f}, p = {shown_p(dispersion.p_value, dispersion.permutations)})"
    )
    if dispersion.p_value > alpha:
        return f"No difference is found in how far people scatter about their population {numbers}."
    wider = labels[0] if dispersion.mean_distances[0] > dispersion.mean_distances[1] else labels[1]
    return (
        f"{wider}: its people scatter more about their population {numbers}. The unrestricted test "
        "answers to this too, the more so the more unequal the populations are in size."
    )


def verdict_sentence(verdict, labels):
    """Return the verdict on one pair of populations, in words."""
    return f"{' and '.join(labels)}: {VERDICTS[verdict.verdict]} {REASONS[verdict.reason]}"


def override_sentence(pooling, verdict):
    """Return the words of a setting that overrides the verdict, or None."""
    if pooling == "decide":
        return None
    done = {"always": "The populations were pooled", "never": "The populations were kept apart"}
    agrees = (verdict == "keep_apart") == (pooling == "never")
    turn = "as the verdict says" if agrees else "AGAINST the verdict"
    return (
        f"{done[pooling]} because the setting comparison.pooling is '{pooling}', {turn} "
        f"({verdict})."
    )


def chart_sentence(source, weights, label, chosen_by=""):
    """Return which chart is made."""
    if source != "pooled":
        why = (
            " It is the population with most participants; comparison.chart_population names none."
            if chosen_by == "size"
            else ""
        )
        beside = "the other populations' trees stand beside it."
        return f"The chart is that of {label} alone; {beside}{why}"
    if weights == "equal":
        return "The chart is made from all participants; every population weighs the same."
    return "The chart is made from all participants; every participant weighs the same."


def culture_reading(ratio):
    """Return the usual reading of the ratio of the first two eigenvalues."""
    if ratio >= 3.0:
        return "one way of sorting (3 or more)"
    return (
        "weak agreement on one way of sorting (2 to 3)"
        if ratio >= 2.0
        else ("little agreement on one way of sorting (below 2)")
    )


def overlap_sentence(difference, margin):
    """Return how far two populations overlap in granularity."""
    sentence = f"The granularity of the two populations overlaps by {difference.overlap:.2f}."
    if difference.overlap < margin:
        sentence += (
            " That is too little for any test to tell a difference in structure from one in "
            "granularity; the unrestricted test is taken instead, which counts both."
        )
    return sentence


def multiplicity_sentence(n_pairs):
    """Return how several pairs of populations are allowed for."""
    if n_pairs < 2:
        return "One pair of populations at the most: nothing to adjust for."
    return (
        f"{n_pairs} pairs of populations: p of the adjusted test by Holm's method, p per term "
        f"times {n_pairs} before a term is named. The gravest verdict of all pairs is the study's."
    )
