"""The pooling dossier of a study: all its populations compared, pair by pair, and judged."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from felloe.comparison.consequence import Chart, chart_at
from felloe.comparison.correlating.shares import shares_together
from felloe.comparison.drawn_people import reliabilities_drawn
from felloe.comparison.more_people.planning import PLANNED, Plan, people_to_settle, question_of
from felloe.comparison.more_people.simulated_study import estimates_of
from felloe.comparison.pair import (
    PeopleCompared,
    Settings,
    compare_people,
    evidence_of,
)
from felloe.comparison.verdict import CANNOT, SEVERITY, Margins, Verdict, decide, holm
from felloe.errors import StudyError
from felloe.ground.arrays import Array
from felloe.ground.distances import Distances, rounded_dissimilarity
from felloe.ground.people.counted_pairs import pairs_of
from felloe.ground.people.counts import Counts
from felloe.ground.people.pairs import person_covariances
from felloe.ground.people.sorts import POOLED, UNPLACED, Sorts
from felloe.ground.randomness import Streams
from felloe.ground.terms import check_same

AT_ONCE = 512  # people held against all others; no result depends on it
EQUAL = "pooled+equal"  # '+' cannot stand in a population's id


@dataclass(frozen=True)
class Comparison:
    """
    One pair of populations, judged.

    Attributes
    ----------
    populations : (str, str)
    found : PeopleCompared
    p_adjusted, p_matched : float
        Of the tests that allow for granularity, after Holm's method over all pairs of populations.
    verdict : Verdict
    plan : Plan or None
        How many more people would settle it; None where it is settled.
    """

    populations: tuple[str, str]
    found: PeopleCompared
    p_adjusted: float
    p_matched: float
    verdict: Verdict
    plan: Plan | None = None


@dataclass(frozen=True)
class Dossier:
    """
    Attributes
    ----------
    comparisons : tuple of Comparison
        One for each pair, in sorted order; empty for one population.
    charts : dict of str to Chart
        The populations' own, `POOLED` and `EQUAL`.
    """

    comparisons: tuple[Comparison, ...]
    charts: dict[str, Chart]

    @property
    def decisive(self) -> Comparison | None:
        """The pair with the gravest verdict, of these the one with the smallest p."""
        return min(
            self.comparisons,
            key=lambda one: (-SEVERITY.index(one.verdict.verdict), one.p_matched),
            default=None,
        )


def compare_populations(
    sorts: Sorts,
    counts: Mapping[str, Counts],
    settings: Settings,
    margins: Margins,
    streams: Streams,
) -> Dossier:
    """
    Compare all populations of a study.

    Parameters
    ----------
    sorts : Sorts
    counts : mapping of str to Counts
        Of every population and of `POOLED`, as counted from these sorts.
    settings : felloe.comparison.pair.Settings
    margins : felloe.comparison.verdict.Margins
    streams : felloe.ground.randomness.Streams

    Returns
    -------
    Dossier

    Raises
    ------
    felloe.ground.terms.DifferentTerms
        If sorts and counts are not about the same terms in the same order.
    """
    for name, counted in counts.items():
        check_same(sorts.terms, counted.terms, "the sorts", f"the counts of {name}")
    charts = {
        name: chart_at(apart, settings.linkage, settings.numbers)
        for name, apart in distances_by_chart(counts, sorts.names).items()
    }
    pairs = list(combinations(sorts.names, 2))
    level = margins.alpha / max(len(pairs), 1)
    found = []
    for number, pair in enumerate(pairs):
        people = [place for place, name in enumerate(sorts.populations) if name in pair]
        found.append(compare_people(sorts.rows(people), settings, level, streams, number))
    judged = judge(pairs, found, margins)
    return Dossier(tuple(planned(one, sorts, margins, streams) for one in judged), charts)


def planned(comparison: Comparison, sorts: Sorts, margins: Margins, streams: Streams) -> Comparison:
    """Return a judged pair with its plan, where nobody can tell: people beyond those drawn."""
    if comparison.verdict.verdict != CANNOT:
        return comparison
    found = comparison.found
    people, drawn = found.people, found.people.drawn
    chosen = [name in comparison.populations for name in sorts.populations]
    piles = sorts.piles[chosen][drawn.people][:, ~people.named]
    evidence = evidence_of(found, comparison.p_matched)
    question = question_of(evidence, people.noise.corrected_without.corrected, margins)
    known = None
    if question in PLANNED:
        known = estimates_of(
            person_covariances(pairs_of(piles, sorts.prior)),
            drawn.first,
            reliabilities_drawn(people.noise, drawn),
        )
    plan = people_to_settle(known, question, drawn.sizes, margins, streams)
    return replace(comparison, plan=plan)


def check_comparable(study: str, sorts: Sorts) -> None:
    """
    Refuse whole sorts with holes that leave two people, or two terms, without anything in common.

    Of partial sorts two people may share nothing, and how many pairs of terms may be unseen is a
    setting that screening has asked.

    Parameters
    ----------
    study : str
    sorts : felloe.ground.people.sorts.Sorts

    Raises
    ------
    StudyError
        Naming the first such two people or terms.
    """
    if sorts.prior is not None:
        return
    placed = (sorts.piles != UNPLACED).astype(np.float32)  # sums of ones below 2**24 are exact
    apart = nothing_in_common(placed)
    if apart:
        one, other = sorted(sorts.participants[i] for i in apart)
        raise StudyError(
            f"study '{study}': the participants '{one}' and '{other}' placed fewer than two "
            "terms in common, so they cannot be compared. Leave out who placed few terms "
            "(screening.too_many_unplaced)."
        )
    terms = placed.T @ placed
    if (terms == 0).any():
        one, other = (sorts.terms[i] for i in np.argwhere(terms == 0)[0])
        raise StudyError(
            f"study '{study}': the terms '{one}' and '{other}' were never placed by the same "
            "participant, so nothing is known about them as a pair. Take one of them out of the "
            "study, or collect more sorts."
        )


def nothing_in_common(placed: Array) -> tuple[int, int] | None:
    """Return the first two people who placed fewer than two terms in common, None without any."""
    fewest = np.sort(placed.sum(axis=1))[:2]
    if fewest.sum() >= placed.shape[1] + 2:
        return None  # any two then share two terms at least
    for start in range(0, len(placed), AT_ONCE):
        few = np.argwhere(placed[start : start + AT_ONCE] @ placed.T < 2)
        if len(few):
            return int(few[0, 0]) + start, int(few[0, 1])
    return None


def distances_by_chart(counts: Mapping[str, Counts], names: Sequence[str]) -> dict[str, Distances]:
    """
    Return the distances behind the chart of each population, of all, and of all equally.

    Parameters
    ----------
    counts : mapping of str to Counts
        Of every population and of `POOLED`.
    names : sequence of str
        The populations.

    Returns
    -------
    dict of str to Distances
        A pair that nobody of a population placed takes the pooled similarity there.

    Raises
    ------
    ValueError
        If nobody at all placed some pair.
    """
    terms, pooled = counts[POOLED].terms, counts[POOLED].similarity()
    similar = {name: shares_together(counts[name], pooled) for name in names}
    equal = np.asarray(sum(similar.values())) / len(similar)
    return {
        name: Distances(terms, rounded_dissimilarity(one))
        for name, one in {**similar, POOLED: pooled, EQUAL: equal}.items()
    }


def judge(
    pairs: Sequence[tuple[str, str]], found: Sequence[PeopleCompared], margins: Margins
) -> tuple[Comparison, ...]:
    """Return every pair with its verdict, p adjusted for the number of pairs."""
    adjusted = holm([one.people.tests.adjusted.p_value for one in found])
    matched = holm([one.people.tests.p_matched for one in found])
    return tuple(
        Comparison(
            pair,
            found[number],
            adjusted[number],
            matched[number],
            decide(evidence_of(found[number], matched[number]), margins),
        )
        for number, pair in enumerate(pairs)
    )
