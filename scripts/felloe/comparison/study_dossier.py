"""All populations of a study compared, pair by pair, and what follows for the chart."""

from dataclasses import dataclass
from itertools import combinations

import numpy as np

from felloe.comparison.dossier import PairDossier, compare_people, evidence_of
from felloe.comparison.granularity import describe_granularity, numbers_of_piles
from felloe.comparison.verdict import APART, NOTES, POOL, Verdict, decide, holm
from felloe.ground.charting import charted
from felloe.ground.counts import count_cooccurrence, similarity
from felloe.ground.pairs import pair_shares, pair_vectors
from felloe.ground.randomness import stratified_draw

POOLED, EQUAL = "pooled", "pooled+equal"  # '+' cannot stand in a population's id
SEVERITY = (POOL, NOTES, APART)


@dataclass(frozen=True)
class Chart:
    """One tree and the group of every term in each tier, labels from 0."""

    tree: np.ndarray
    classes: np.ndarray
    subclasses: np.ndarray


@dataclass(frozen=True)
class Comparison:
    """
    One pair of populations.

    Attributes
    ----------
    populations : (str, str)
    dossier : PairDossier
    p_adjusted : float
        Of the granularity-adjusted test, after Holm's method over all pairs of populations.
    verdict : Verdict
    """

    populations: tuple
    dossier: PairDossier
    p_adjusted: float
    verdict: Verdict


@dataclass(frozen=True)
class StudyDossier:
    """
    Attributes
    ----------
    comparisons : tuple of Comparison
        One for each pair, in sorted order; empty for one population.
    decisive : Comparison or None
        The pair with the gravest verdict; of these the one with the smallest p.
    charts : dict of str to Chart
        The populations' own, `POOLED` and `EQUAL`.
    granularity : dict of str to Granularity
    """

    comparisons: tuple
    decisive: Comparison | None
    charts: dict
    granularity: dict


def bootstrap_counts(populations, redraws, streams):
    """
    Count how often each participant is redrawn, within populations.

    Parameters
    ----------
    populations : sequence of str
    redraws : int
    streams : felloe.ground.randomness.Streams

    Returns
    -------
    (redraws, n_people) array of int
    """
    counts = np.zeros((redraws, len(populations)), dtype=int)
    for replicate in range(redraws):
        drawn = stratified_draw(streams.generator("bootstrap", replicate), populations)
        counts[replicate] = np.bincount(drawn, minlength=len(populations))
    return counts


def similarities_by_chart(piles, populations):
    """
    Return the similarities behind the chart of each population, of all, and of all equally.

    Parameters
    ----------
    piles : (n_people, n_terms) array of int
    populations : (n_people,) array of str

    Returns
    -------
    dict of str to (n_terms, n_terms) array of float
        A pair that nobody of a population placed takes the pooled similarity there.

    Raises
    ------
    ValueError
        If nobody at all placed some pair.
    """
    pooled = similarity(*count_cooccurrence(piles))
    similar = {}
    for name in np.unique(populations).tolist():
        together, both = count_cooccurrence(piles[populations == name])
        similar[name] = np.where(both > 0, together / np.maximum(both, 1), pooled)
    equal = sum(similar.values()) / len(similar)
    return {**similar, POOLED: pooled, EQUAL: equal}


def compare_study(piles, populations, settings, margins, redraws, streams):
    """
    Compare all populations of a study.

    Parameters
    ----------
    piles : (n_people, n_terms) array of int
        Pile numbers, `UNPLACED` where a term was not placed.
    populations : sequence of str
        The population of each participant.
    settings : felloe.comparison.dossier.Settings
    margins : felloe.comparison.verdict.Margins
    redraws : int
        Redraws of participants.
    streams : felloe.ground.randomness.Streams

    Returns
    -------
    StudyDossier
    """
    populations = np.asarray(populations)
    charts = {}
    for name, similar in similarities_by_chart(piles, populations).items():
        tree, labels = charted(similar, settings.linkage, settings.numbers)
        charts[name] = Chart(tree, *labels)
    counts = bootstrap_counts(populations, redraws, streams)
    pairs = list(combinations(np.unique(populations).tolist(), 2))
    dossiers = []
    for number, (first, second) in enumerate(pairs):
        people = np.flatnonzero((populations == first) | (populations == second))
        dossiers.append(
            compare_people(
                piles[people],
                populations[people] == first,
                counts[:, people],
                settings,
                streams,
                number,
            )
        )
    comparisons = judge(pairs, dossiers, margins)
    return StudyDossier(
        comparisons, gravest(comparisons), charts, granularities(piles, populations)
    )


def granularities(piles, populations):
    """Describe how finely each population sorts."""
    n_piles, shares = numbers_of_piles(piles), pair_shares(pair_vectors(piles))
    return {
        name: describe_granularity(n_piles[populations == name], shares[populations == name])
        for name in np.unique(populations).tolist()
    }


def judge(pairs, dossiers, margins):
    """Return every pair with its verdict, p adjusted for the number of pairs."""
    adjusted = holm([dossier.people.adjusted.p_value for dossier in dossiers])
    unrestricted = holm([dossier.people.unrestricted.p_value for dossier in dossiers])
    comparisons = []
    for pair, dossier, *p_values in zip(pairs, dossiers, adjusted, unrestricted, strict=True):
        evidence = evidence_of(dossier, margins.alpha, p_values, len(pairs))
        comparisons.append(Comparison(pair, dossier, p_values[0], decide(evidence, margins)))
    return tuple(comparisons)


def gravest(comparisons):
    """Return the comparison with the gravest verdict, of these the one with the smallest p."""
    return min(
        comparisons,
        key=lambda one: (-SEVERITY.index(one.verdict.verdict), one.p_adjusted),
        default=None,
    )


def chart_weights(populations, ratio):
    """
    Return whether pooled populations weigh by their people or all the same.

    Parameters
    ----------
    populations : sequence of str
        The population of each participant.
    ratio : float
        Larger population over smaller, above which all weigh the same.

    Returns
    -------
    {"plain", "equal"}
    """
    _, sizes = np.unique(np.asarray(populations), return_counts=True)
    return "equal" if sizes.max() > ratio * sizes.min() else "plain"
