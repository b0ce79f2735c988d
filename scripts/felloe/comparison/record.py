"""The pooling dossier of a study as a record for JSON."""

import numpy as np

from felloe.comparison import words as words
from felloe.comparison.consequence import compare_tier
from felloe.comparison.pair_record import TIERS, pair_record
from felloe.comparison.study_dossier import POOLED, chart_weights
from felloe.errors import StudyError


def chart_of(study_name, verdict, populations, pooling, chart_population, ratio):
    """
    Return which chart follows from the verdict and the settings.

    Parameters
    ----------
    study_name : str
    verdict : str or None
        None for one population.
    populations : sequence of str
        The population of each participant.
    pooling : {"decide", "always", "never"}
    chart_population : str or dict of str to str or None
        The population to chart, or study to population; None for the largest one.
    ratio : float
        See `felloe.comparison.study_dossier.chart_weights`.

    Returns
    -------
    dict
        `source` and `weights`; `chosen_by` "size" where the settings name no population.

    Raises
    ------
    StudyError
        If populations are kept apart and the settings name one that the study has not.
    """
    names = sorted(set(populations))
    if verdict is None:
        return {"source": POOLED, "weights": "plain"}
    apart = pooling == "never" or (pooling == "decide" and verdict == "keep_apart")
    if not apart:
        return {"source": POOLED, "weights": chart_weights(populations, ratio)}
    chosen = chart_population
    if isinstance(chosen, dict):
        chosen = chosen.get(study_name)
    if chosen is None:
        largest = max(names, key=list(populations).count)  # the first of several equally large
        return {"source": largest, "weights": "plain", "chosen_by": "size"}
    if chosen in names:
        return {"source": chosen, "weights": "plain"}
    why = (
        "the setting comparison.pooling is 'never'"
        if pooling == "never"
        else "the verdict is 'keep_apart'"
    )
    raise StudyError(
        f"study '{study_name}': the populations are not pooled, because {why}, and "
        f"comparison.chart_population is '{chosen}', which is no population of it. Set it to the "
        "population that the chart is for, or to a mapping from study to population; the "
        f"populations are: {', '.join(names)}. "
        "To pool all the same, set comparison.pooling to 'always'; the report will say so."
    )


def check_comparable(study_name, sorts):
    """
    Refuse sorts with holes that leave two people, or two terms, without anything in common.

    Parameters
    ----------
    study_name : str
    sorts : felloe.ground.sorts.Sorts

    Raises
    ------
    StudyError
        Naming the first such two people or terms.
    """
    placed = (sorts.piles >= 0).astype(int)
    people, terms = placed @ placed.T, placed.T @ placed
    if (people < 2).any():
        one, other = (sorts.participants[i] for i in np.argwhere(people < 2)[0])
        raise StudyError(
            f"study '{study_name}': the participants '{one}' and '{other}' placed fewer than two "
            "terms in common, so they cannot be compared. Leave out who placed few terms "
            "(screening.too_many_unplaced)."
        )
    if (terms == 0).any():
        one, other = (sorts.terms[i] for i in np.argwhere(terms == 0)[0])
        raise StudyError(
            f"study '{study_name}': the terms '{one}' and '{other}' were never placed by the same "
            "participant, so nothing is known about them as a pair. Take one of them out of the "
            "study, or collect more sorts."
        )


def missing_record(sorts):
    """Return how many placements are missing and what is done about them."""
    unplaced = int((sorts.piles < 0).sum())
    return {
        "unplaced": unplaced,
        "participants_with_unplaced": int((sorts.piles < 0).any(axis=1).sum()),
        "placements": int(sorts.piles.size),
        "how": words.MISSING if unplaced else "Everybody placed every term.",
    }


def charts_record(charts):
    """Return the adjusted Rand index and the changes between every two charts, per tier."""
    names = list(charts)
    rows = []
    for i, first in enumerate(names):
        for second in names[i + 1 :]:
            row = {"charts": [first, second]}
            for tier, field in zip(TIERS, ("classes", "subclasses"), strict=True):
                one, other = getattr(charts[first], field), getattr(charts[second], field)
                compared = compare_tier(one, other)
                row[tier] = {
                    "adjusted_rand": compared.adjusted_rand,
                    "n_changing": int(compared.changes.sum()),
                }
            rows.append(row)
    return rows


def granularity_records(granularity):
    """Return the granularity of each population."""
    keys = ("minimum", "lower_quartile", "median", "upper_quartile", "maximum")
    return {
        name: {
            "n_people": one.n_people,
            "piles": dict(zip(keys, one.piles, strict=True)),
            "mean_pairs_together": one.mean_pairs_together,
        }
        for name, one in granularity.items()
    }


def study_record(study, sorts, labels, numbers, margins, pooling, chart):
    """
    Return the dossier of a study.

    Parameters
    ----------
    study : felloe.comparison.study_dossier.StudyDossier
    sorts : felloe.ground.sorts.Sorts
    labels : dict of str to str
        What populations are called.
    numbers : (int, int)
        Numbers of classes and subclasses at which the charts were cut.
    margins : felloe.comparison.verdict.Margins
    pooling : str
    chart : dict
        As returned by `chart_of`.

    Returns
    -------
    dict
        The keys of the decisive pair of populations stand at the top; all pairs in `pairs`.
    """
    pairs = [
        pair_record(one, sorts.terms, labels, numbers, margins, len(study.comparisons))
        for one in study.comparisons
    ]
    compared = bool(pairs)
    decisive = pairs[study.comparisons.index(study.decisive)] if compared else {}
    record = {
        "compared": compared,
        "verdict": decisive.get("verdict"),
        "sentence": decisive.get("sentence", one_population(labels, sorts)),
        "rule": words.RULE,
        "override": words.override_sentence(pooling, decisive["verdict"]) if compared else None,
        "chart": chart,
        "chart_sentence": words.chart_sentence(label=labels.get(chart["source"], ""), **chart),
        "labels": {name: labels[name] for name in sorted(set(sorts.populations))},
    }
    record.update((key, value) for key, value in decisive.items() if key not in record)
    record["granularity"] = granularity_records(study.granularity)
    record["charts"] = charts_record(study.charts) if compared else []
    record["missing"] = missing_record(sorts)
    record["multiplicity"] = words.multiplicity_sentence(len(pairs))
    record["pairs"] = pairs
    return record


def one_population(labels, sorts):
    """Return the sentence of a study of one population."""
    name = sorted(set(sorts.populations))[0]
    return (
        f"All participants belong to one population ({labels[name]}), so there is nothing to "
        "compare; the chart is made from all of them."
    )
