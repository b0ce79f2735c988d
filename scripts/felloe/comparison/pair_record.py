"""The pooling dossier of one pair of populations as a record for JSON."""

import numpy as np

from felloe.comparison import words as words

QUANTILES = {"5": 0.05, "50": 0.5, "95": 0.95}
TIERS = ("class", "subclass")


def quantiles(values):
    """Return the 5, 50 and 95 % points of the known values."""
    known = np.asarray(values, dtype=float)
    known = known[np.isfinite(known)]
    return {
        name: float(np.quantile(known, q)) if len(known) else None for name, q in QUANTILES.items()
    }


def mantel_record(associated, alpha):
    """Return the Mantel tests and the match of maps."""
    record = {
        method: {
            "r": result.correlation,
            "p": result.p_value,
            "permutations": result.permutations,
            "n_terms": result.n_terms,
            "alternative": "greater",
        }
        for method, result in (("pearson", associated.pearson), ("spearman", associated.spearman))
    }
    record["sentence"] = words.mantel_sentence(associated.pearson, alpha)
    if associated.exact is not None:
        greater, _, orders = associated.exact
        record["pearson_exact"] = {"p": greater / orders, "orders": orders}
    return record


def noise_record(people, names):
    """Return the noise ceiling."""
    corrected = people.corrected
    return {
        "reliability": {
            name: one.reliability for name, one in zip(names, people.reliabilities, strict=True)
        },
        "half_correlation": {
            name: one.half_correlation
            for name, one in zip(names, people.reliabilities, strict=True)
        },
        "halves": max(one.halves for one in people.reliabilities),
        "splits": len(people.split_correlations),
        "random_split_r": quantiles(people.split_correlations),
        "observed_r": corrected.correlation,
        "observed_r_above_share_of_splits": float(
            np.mean(people.split_correlations < corrected.correlation)
        ),
        "corrected_r": {
            "value": corrected.corrected,
            "low": corrected.low,
            "high": corrected.high,
            "level": 0.95,
            "redraws": corrected.redraws,
        },
        "sentence": words.noise_sentence(quantiles(people.split_correlations), corrected),
    }


def label_record(people, p_adjusted, alpha):
    """Return the person-label tests."""
    return {
        "statistic": people.disagreement,
        "statistic_is": "sum over pairs of terms of the squared difference of the two shares",
        "sum_of_squares_among": people.unrestricted.sum_among,
        "pseudo_F": people.unrestricted.pseudo_f,
        "r_squared": people.unrestricted.r_squared,
        "p_unrestricted": people.unrestricted.p_value,
        "adjusted_pseudo_F": people.adjusted.pseudo_f,
        "adjusted_r_squared": people.adjusted.r_squared,
        "p_adjusted": people.adjusted.p_value,
        "p_adjusted_holm": p_adjusted,
        "permutations": people.adjusted.permutations,
        "primary": words.ADJUSTED,
        "sentence": words.label_sentence(people, p_adjusted, alpha),
    }


def culture_record(culture, names, first):
    """Return the eigenvalue ratio and how the populations load."""
    groups = dict(zip(names, (first, ~first), strict=True))
    return {
        "eigenvalue_ratio": culture.ratio,
        "reading": words.culture_reading(culture.ratio),
        "negative_first_loadings": int((culture.first_loadings < 0).sum()),
        "mean_second_loading": {
            name: round(float(culture.second_loadings[who].mean()), 9)
            for name, who in groups.items()
        },
    }


def terms_record(people, terms, n_pairs, margins):
    """Return the terms that are placed differently; p times the number of pairs of populations."""
    named = {
        key: [
            term
            for term, p_value in zip(terms, tested.p_terms, strict=True)
            if p_value * n_pairs <= margins.alpha
        ]
        for key, tested in (("adjusted", people.terms_adjusted), ("unrestricted", people.terms))
    }
    return {
        "differing": named["adjusted"],
        "differing_unrestricted": named["unrestricted"],
        "alpha": margins.alpha,
        "named_by": "p_maxT_adjusted (beyond granularity)",
    }


def consequence_record(dossier, terms, numbers):
    """Return what changes between the two populations' own charts."""
    record = {"n_classes": numbers[0], "n_subclasses": numbers[1]}
    for number, (tier, compared) in enumerate(zip(TIERS, dossier.tiers, strict=True)):
        record[tier] = {
            "adjusted_rand": compared.adjusted_rand,
            "n_changing": int(compared.changes.sum()),
            "changing": [terms[i] for i in np.flatnonzero(compared.changes)],
        }
        if dossier.people:
            record[tier]["n_changing_in_random_splits"] = quantiles(
                dossier.people.split_changes[:, number]
            )
    return record


def criterion_record(criterion):
    """Return one criterion with its question."""
    return {
        "key": criterion.key,
        "question": words.QUESTIONS[criterion.key],
        "value": criterion.value,
        "comparison": criterion.comparison,
        "margin": criterion.margin,
        "passed": criterion.passed,
    }


def pair_record(comparison, terms, labels, numbers, margins, n_pairs):
    """
    Return everything about one pair of populations.

    Parameters
    ----------
    comparison : felloe.comparison.study_dossier.Comparison
    terms : sequence of str
    labels : dict of str to str
        What populations are called.
    numbers : (int, int)
    margins : felloe.comparison.verdict.Margins
    n_pairs : int

    Returns
    -------
    dict
    """
    names, dossier, verdict = comparison.populations, comparison.dossier, comparison.verdict
    people = dossier.people
    difference, called = people.granularity, [labels[name] for name in names]
    return {
        "populations": list(names),
        "n_people": dict(zip(names, dossier.n_people, strict=True)),
        "verdict": verdict.verdict,
        "reason": verdict.reason,
        "sentence": words.verdict_sentence(verdict, called),
        "criteria": [criterion_record(one) for one in verdict.criteria],
        "mantel": mantel_record(dossier.associated, margins.alpha),
        "maps": vars(dossier.associated.configurations),
        "noise_ceiling": noise_record(people, names),
        "label_permutation": label_record(people, comparison.p_adjusted, margins.alpha),
        "dispersion": {
            "F": people.dispersion.f,
            "p": people.dispersion.p_value,
            "permutations": people.dispersion.permutations,
            "mean_distance": dict(zip(names, people.dispersion.mean_distances, strict=True)),
            "sentence": words.dispersion_sentence(people.dispersion, called, margins.alpha),
        },
        "granularity_difference": {
            **vars(difference),
            "effect_size_is": f"Cliff's delta, positive where {names[0]} makes more piles",
            "sentence": words.overlap_sentence(difference, margins.overlap),
        },
        "one_culture": culture_record(people.culture, names, people.first),
        "terms": terms_record(people, terms, n_pairs, margins),
        "consequence": consequence_record(dossier, terms, numbers),
    }
