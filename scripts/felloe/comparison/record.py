"""The pooling dossier as a record for JSON: codes and numbers, no sentences."""

from collections.abc import Sequence
from typing import Any

import numpy as np

from felloe.comparison.consequence import TIERS, Chart, TierComparison, compare_charts
from felloe.comparison.correlating.association import Association
from felloe.comparison.correlating.corrected import LEVEL, CorrectedCorrelation, statement_of
from felloe.comparison.dossier import Comparison, Dossier
from felloe.comparison.drawn_people import error_of_drawing, reliabilities_drawn
from felloe.comparison.exchanging.matching import together_share
from felloe.comparison.exchanging.term_differences import TermDifferences
from felloe.comparison.more_people.planning import ENOUGH, REPLICATES, Number, Plan
from felloe.comparison.pair import People, PeopleCompared, PopulationTests, comparable_numbers
from felloe.comparison.verdict import Margins
from felloe.ground.arrays import Array, Bools
from felloe.ground.people.small_cells import told_count
from felloe.ground.people.sorts import UNPLACED, Sorts
from felloe.ground.rounding import PRODUCT_DECIMALS
from felloe.ground.terms import Terms
from felloe.validation.screened.granularity import QUARTILES, pile_sizes, summary

Record = dict[str, Any]
QUANTILES = {"5": 0.05, "50": 0.5, "95": 0.95}


def dossier_record(
    dossier: Dossier,
    sorts: Sorts,
    numbers: tuple[int, int],
    margins: Margins,
    least: int,
    shown: Bools | None = None,
) -> Record:
    """
    Return the dossier of a study.

    Parameters
    ----------
    dossier : felloe.comparison.dossier.Dossier
    sorts : felloe.ground.people.sorts.Sorts
    numbers : (int, int)
        Numbers of classes and subclasses at which the charts were cut.
    margins : felloe.comparison.verdict.Margins
    least : int
        People that a count or a quartile has to tell of; null stands for others.
    shown : (n_participants, n_terms) array of bool, optional
        Who was shown what; None where everybody was shown every term.

    Returns
    -------
    dict
        The keys of the decisive pair of populations stand at the top, all pairs in `pairs`. Of a
        study of one population only `compared`, `verdict` (None), `populations`, `n_people`,
        `granularity`, `charts`, `missing` and `pairs`.
    """
    pairs = [
        pair_record(one, numbers, margins, len(dossier.comparisons)) for one in dossier.comparisons
    ]
    decisive = dossier.decisive
    top: Record = {
        "verdict": None,
        "populations": sorts.names,
        "n_people": {name: sorts.populations.count(name) for name in sorts.names},
    }
    if decisive is not None:
        top = pairs[dossier.comparisons.index(decisive)]
    return {
        "compared": decisive is not None,
        "verdict": top["verdict"],
        **top,
        "granularity": granularity_records(sorts, least),
        "charts": charts_record(dossier.charts) if decisive else [],
        "missing": missing_record(sorts, least, shown),
        "pairs": pairs,
    }


def pair_record(
    comparison: Comparison, numbers: tuple[int, int], margins: Margins, n_pairs: int
) -> Record:
    """
    Return everything about one pair of populations.

    Parameters
    ----------
    comparison : felloe.comparison.dossier.Comparison
    numbers : (int, int)
        Numbers of classes and subclasses at which the charts were cut.
    margins : felloe.comparison.verdict.Margins
    n_pairs : int
        Pairs of populations compared.
    """
    names, found, verdict = comparison.populations, comparison.found, comparison.verdict
    people = found.people
    return {
        "populations": list(names),
        "n_people": by_population(names, people.drawn.of),
        "verdict": verdict.verdict,
        "reason": verdict.reason,
        "criteria": [vars(one) for one in verdict.criteria],
        "mantel": mantel_record(found.associated),
        "maps": vars(found.associated.configurations),
        "noise_ceiling": noise_record(people, names, margins),
        "label_permutation": label_record(people.tests, comparison),
        "shape": shape_record(people, names),
        "plan": plan_record(comparison.plan, names),
        "dispersion": dispersion_record(people.tests, names),
        "granularity_difference": vars(people.granularity),
        "one_culture": culture_record(people, names),
        "terms": {
            "differing": [found.terms[place] for place in np.flatnonzero(people.named)],
            "differing_unrestricted": differing(people.tests.terms, found.terms, n_pairs, margins),
            "alpha": margins.alpha,
            **fewer_permutations(people.tests),
        },
        "consequence": consequence_record(found, numbers),
        **sample_record(found, names),
    }


def fewer_permutations(tests: PopulationTests) -> Record:
    """Return the permutations of the unrestricted test of terms where they are fewer than asked."""
    drawn = tests.terms.permutations
    return {"permutations": drawn} if drawn < tests.unrestricted.permutations else {}


def sample_record(found: PeopleCompared, names: Sequence[str]) -> Record:
    """Return whom the tests of people looked at, and what that costs; nothing for everybody."""
    people = found.people
    drawn, noise = people.drawn, people.noise
    if drawn.everybody:
        return {}
    full = noise.corrected.parts
    told: Record = {
        "drawn": by_population(names, drawn.sizes),
        "of": by_population(names, drawn.of),
        "corrected_r_error": error_of_drawing(noise.corrected, drawn),
        "corrected_r_without_named_error": error_of_drawing(noise.corrected_without, drawn),
        "corrected_r_standard_error_of_all": full.standard_error(*drawn.of) if full else None,
    }
    return {"sample": told}


def by_population(names: Sequence[str], values: Sequence[Any]) -> Record:
    """Return values keyed by population."""
    return dict(zip(names, values, strict=True))


def quantiles(values: Array) -> dict[str, float | None]:
    """Return the 5, 50 and 95 % points of the known values."""
    known = np.asarray(values, dtype=float)
    known = known[np.isfinite(known)]
    return {
        name: float(np.quantile(known, q)) if len(known) else None for name, q in QUANTILES.items()
    }


def mantel_record(associated: Association) -> Record:
    """Return the Mantel tests, that of every order of the terms where there are few."""
    record = {"pearson": associated.pearson.told(), "spearman": associated.spearman.told()}
    exact = associated.exact
    if exact is not None:
        record["pearson_exact"] = {"p": exact.greater / exact.orders, "orders": exact.orders}
    return record


def noise_record(people: People, names: Sequence[str], margins: Margins) -> Record:
    """Return the noise ceiling."""
    noise, drawn = people.noise, people.drawn
    splits = noise.split_correlations
    one, other = (halves.reliability for halves in noise.reliabilities)

    def told(corrected: CorrectedCorrelation) -> Record:
        said = statement_of(corrected, reliabilities_drawn(noise, drawn), margins.reliability)
        return {**corrected_record(corrected), "says": said.says, "because": said.because}

    return {
        "reliability": by_population(names, (one, other)),
        "half_correlation": by_population(
            names, [one.half_correlation for one in noise.reliabilities]
        ),
        "halves": max(one.halves for one in noise.reliabilities),
        "splits": len(splits),
        "random_split_r": quantiles(splits),
        "observed_r": noise.correlation,
        "observed_r_above_share_of_splits": float(np.mean(splits < noise.correlation)),
        "corrected_r": told(noise.corrected),
        "corrected_r_without_named": told(noise.corrected_without),
    }


def corrected_record(corrected: CorrectedCorrelation) -> Record:
    """Return a corrected correlation with its interval."""
    return {
        "value": corrected.corrected,
        "low": corrected.low,
        "high": corrected.high,
        "standard_error": corrected.standard_error,
        "level": LEVEL,
    }


def shape_record(people: People, names: Sequence[str]) -> Record:
    """Return the test of single terms beyond granularity and noise."""
    shape, clearer = people.shape, 0 if people.shape.first_is_clearer else 1
    return {
        "p": shape.p_value,
        "n_named": int(people.named.sum()),
        "clearer": names[clearer],
        "astray": shape.astray,
        "n_matched": shape.n_matched,
        "permutations": shape.permutations,
    }


def plan_record(plan: Plan | None, names: Sequence[str]) -> Record | None:
    """Return how many more people would settle it, where nobody can tell."""

    def told(number: Number | None) -> Record | None:
        return None if number is None else vars(number)

    if plan is None:
        return None
    return {
        "question": plan.question,
        "only": by_population(names, (told(plan.first_only), told(plan.second_only))),
        "of_each": told(plan.of_each),
        "most": plan.most,
        "enough": ENOUGH,
        "replicates": REPLICATES,
    }


def label_record(tests: PopulationTests, comparison: Comparison) -> Record:
    """Return the tests that shuffle people; Holm's p allow for several pairs of populations."""
    return {
        "statistic": tests.disagreement,
        "sum_of_squares_among": tests.unrestricted.sum_among,
        "pseudo_F": tests.unrestricted.pseudo_f,
        "r_squared": tests.unrestricted.r_squared,
        "p_unrestricted": tests.unrestricted.p_value,
        "adjusted_pseudo_F": tests.adjusted.pseudo_f,
        "adjusted_r_squared": tests.adjusted.r_squared,
        "p_adjusted": tests.adjusted.p_value,
        "p_adjusted_holm": comparison.p_adjusted,
        "p_matched": tests.p_matched,
        "p_matched_holm": comparison.p_matched,
        "n_matched": tests.n_matched,
        "permutations": tests.adjusted.permutations,
    }


def dispersion_record(tests: PopulationTests, names: Sequence[str]) -> Record:
    """Return the test of equal scatter."""
    return {
        "F": tests.dispersion.f,
        "p": tests.dispersion.p_value,
        "permutations": tests.dispersion.permutations,
        "mean_distance": by_population(names, tests.dispersion.mean_distances),
    }


def culture_record(people: People, names: Sequence[str]) -> Record:
    """Return the eigenvalue ratio and how the populations load."""
    culture = people.culture
    loadings = [
        round(float(culture.second_loadings[who].mean()), PRODUCT_DECIMALS)
        for who in (people.drawn.first, ~people.drawn.first)
    ]
    return {
        "eigenvalue_ratio": culture.ratio,
        "negative_first_loadings": int((culture.first_loadings < 0).sum()),
        "mean_second_loading": by_population(names, loadings),
    }


def differing(tested: TermDifferences, terms: Terms, n_pairs: int, margins: Margins) -> list[str]:
    """Return the terms placed differently; p times the number of pairs of populations."""
    found = tested.p_terms * n_pairs <= margins.alpha
    return [terms[place] for place in np.flatnonzero(found)]


def consequence_record(found: PeopleCompared, numbers: tuple[int, int]) -> Record:
    """Return what changes between the two populations' own charts."""
    record: Record = {"n_classes": numbers[0], "n_subclasses": numbers[1]}
    changes = found.people.split_changes.T
    for tier, compared, of_splits in zip(TIERS, found.tiers, changes, strict=True):
        record[tier] = {
            **tier_record(compared),
            "changing": [found.terms[place] for place in np.flatnonzero(compared.changes)],
            "n_changing_in_random_splits": quantiles(of_splits),
        }
    return record


def tier_record(compared: TierComparison) -> Record:
    """Return how far two charts agree in a tier."""
    return {
        "adjusted_rand": compared.adjusted_rand,
        "n_changing": int(compared.changes.sum()),
    }


def charts_record(charts: dict[str, Chart]) -> list[Record]:
    """Return the adjusted Rand index and the changes between every two charts, per tier."""
    names = list(charts)
    return [
        {
            "charts": [first, second],
            **{
                tier: tier_record(compared)
                for tier, compared in zip(
                    TIERS, compare_charts(charts[first], charts[second]), strict=True
                )
            },
        }
        for place, first in enumerate(names)
        for second in names[place + 1 :]
    ]


def granularity_records(sorts: Sorts, least: int) -> dict[str, Record]:
    """Return how finely each population sorts; partial sorts as of an equal number of terms."""
    shares = [together_share(sizes) for sizes in pile_sizes(sorts.piles)]
    numbers = comparable_numbers(sorts.piles, sorts.prior)
    groups: dict[str, list[Record]] = {name: [] for name in sorts.names}
    for name, number, share in zip(sorts.populations, numbers, shares, strict=True):
        groups[name].append({"n_piles": number, "pairs_together_share": share})
    return {name: granularity_record(people, least) for name, people in groups.items()}


def granularity_record(people: Sequence[Record], least: int) -> Record:
    """Return how finely some people sort."""
    piles = summary("n_piles", people, least)
    return {
        "n_people": piles["n"],
        "piles": {name: piles[name] for name in QUARTILES},
        "mean_pairs_together": summary("pairs_together_share", people, least)["mean"],
    }


def missing_record(sorts: Sorts, least: int, shown: Bools | None = None) -> Record:
    """Return how many placements of terms that were shown are missing."""
    asked = np.ones(sorts.piles.shape, dtype=bool) if shown is None else shown
    unplaced = (sorts.piles == UNPLACED) & asked
    return {
        "unplaced": int(unplaced.sum()),
        "participants_with_unplaced": told_count(int(unplaced.any(axis=1).sum()), least),
        "placements": int(asked.sum()),
    }
