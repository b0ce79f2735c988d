"""The record of two editions compared: numbers and codes."""

from collections.abc import Iterable, Sequence
from dataclasses import asdict
from typing import Any

from felloe.comparison.correlating.corrected import statement_of
from felloe.editions.chance.noise import HIGH, LOW, Noise
from felloe.editions.chance.planted import Simulated, expected_moves
from felloe.editions.comparison import Drawn, Measures
from felloe.editions.correspondence import NOISE, POSSIBLE, ROBUST, AgainstChance, Bounds
from felloe.editions.edition import EditionFiles
from felloe.editions.fates import ClassPair, Fate, change_counts, migration_counts
from felloe.editions.people import People
from felloe.ground.people.small_cells import is_small

Record = dict[str, Any]


def comparison_record(
    older: EditionFiles,
    newer: EditionFiles,
    fates: Sequence[Fate],
    classes: Sequence[ClassPair],
    chance: AgainstChance,
    measures: Measures,
    bounds: Bounds,
    least: int,
) -> Record:
    """
    Put the comparison of two editions into one record.

    Parameters
    ----------
    older, newer : EditionFiles
    fates : sequence of Fate
    classes : sequence of ClassPair
    chance : AgainstChance
        Of the published classes.
    measures : Measures
    bounds : Bounds
    least : int
        People that a count has to tell of; null stands for others.

    Returns
    -------
    dict
        See `workflow/schemas/records/editions.comparison.schema.yaml`.
    """
    changes = change_counts(fates)
    common, moves = changes["common"], migration_counts(fates)
    return {
        "older": about(older),
        "newer": about(newer),
        "terms": {
            **changes,
            "coverage_older": common / len(older.terms),
            "coverage_newer": common / len(newer.terms),
        },
        "same_instruction": older.instruction == newer.instruction,
        "mantel": {
            "pearson": measures.distances.pearson.told(),
            "spearman": measures.distances.spearman.told(),
        },
        **people_record(
            measures.people, measures.level, told_people(older, newer, measures.people, least)
        ),
        "tiers": {
            chart: {tier: asdict(found) for tier, found in tiers.items()}
            for chart, tiers in measures.divisions.items()
        },
        **drawn_record(measures.drawn),
        "correspondence": correspondence_record(chance, bounds),
        "classes": [asdict(pair) for pair in classes],
        "migrations": {
            **moves,
            "moved": sum(moves[grade] for grade in (ROBUST, POSSIBLE, NOISE)),
            "bound_robust": bounds.robust,
            "bound_possible": bounds.possible,
        },
    }


def about(edition: EditionFiles) -> Record:
    """Return who an edition is, from its study's own words."""
    return {
        "study": edition.study,
        "title": edition.title,
        "edition": edition.edition,
        "instruction": edition.instruction,
        "n_terms": len(edition.terms),
        "n_participants": len(edition.sorts.participants),
        "provisional": edition.provisional,
        **({} if edition.sorts.prior is None else {"in_parts": True}),
    }


def correspondence_record(chance: AgainstChance, bounds: Bounds) -> Record:
    """Return whether the published classes correspond better than chance at all."""
    return {
        "adjusted_rand": chance.adjusted_rand,
        "p": chance.p_value,
        "permutations": chance.permutations,
        "level": bounds.correspondence,
        "found": chance.p_value <= bounds.correspondence,
    }


def told_people(older: EditionFiles, newer: EditionFiles, people: People, least: int) -> Record:
    """Return how many people were compared; null where it would say of a few that they were not."""
    received = len(older.sorts.participants), len(newer.sorts.participants)
    compared = people.n_older, people.n_newer
    lost = [all_ - some for all_, some in zip(received, compared, strict=True)]
    counts: Record = {"n_older": compared[0], "n_newer": compared[1], "n_left_out": sum(lost)}
    few = any(is_small(n, least) for n in lost)
    return dict.fromkeys(counts) if few else counts


def people_record(people: People, level: float, counts: Record) -> Record:
    """Return the records of what was asked of the people; terms are named at a level."""
    tests, shape = people.tests, people.shape
    reliabilities = people.older.reliability, people.newer.reliability
    return {
        "label_permutation": {
            "statistic": tests.unrestricted.sum_among,
            "pseudo_F": tests.unrestricted.pseudo_f,
            "r_squared": tests.unrestricted.r_squared,
            "p_unrestricted": tests.unrestricted.p_value,
            "p_adjusted": tests.adjusted.p_value,
            "p_matched": tests.p_matched,
            "n_matched": tests.n_matched,
            "permutations": tests.unrestricted.permutations,
            "pseudo_F_adjusted": tests.adjusted.pseudo_f,
            **counts,
        },
        "reliability": {
            "older": people.older.reliability,
            "newer": people.newer.reliability,
            "halves": people.halves,
        },
        "corrected_r": {
            "correlation": people.correlation,
            "corrected": people.corrected.corrected,
            "low": people.corrected.low,
            "high": people.corrected.high,
            "standard_error": people.corrected.standard_error,
            "says": statement_of(people.corrected, reliabilities, 0.0).says,
        },
        "placed_differently": {
            "p": shape.p_value,
            "named": int((shape.p_terms <= level).sum()),
            "level": level,
            "clearer": "older" if shape.first_is_clearer else "newer",
            "astray": shape.astray,
            "n_matched": shape.n_matched,
            "permutations": shape.permutations,
        },
    }


def drawn_record(drawn: Drawn) -> Record:
    """Return the records of trees, orders and maps."""
    return {
        "trees": asdict(drawn.trees),
        "order": {
            "uniform_margins": drawn.circle.uniform,
            "fisher_lee": drawn.circle.fisher_lee,
            "mirrored": drawn.circle.mirrored,
            "p": drawn.circle.p_value,
            "permutations": drawn.circle.permutations,
            "n_terms": drawn.circle.n_terms,
        },
        "maps": {
            "procrustes_m2": drawn.maps.m_squared,
            "correlation": drawn.maps.correlation,
            "rv": drawn.maps.rv,
            "p": drawn.maps.p_value,
            "permutations": drawn.maps.permutations,
        },
    }


def noise_record(
    noise: Sequence[Noise | None], people: People, simulated: Iterable[Simulated]
) -> Record:
    """
    Return what noise alone does to the numbers of a comparison, and to its moves.

    Parameters
    ----------
    noise : sequence of Noise or None
        Of random halves of the older and of the newer study.
    people : People
        Of the comparison; simulated editions as reliable as theirs are told.
    simulated : iterable of Simulated

    Returns
    -------
    dict
        Under `noise` every index lies where it lies in the record itself, for each side.
    """
    sides = zip(("older", "newer"), noise, strict=True)
    reliabilities = people.older.reliability, people.newer.reliability
    expected = expected_moves(reliabilities, simulated)
    return {
        "noise": {"low": LOW, "high": HIGH, **{side: halves_record(one) for side, one in sides}},
        "expected_moves": None if expected is None else asdict(expected),
    }


def halves_record(noise: Noise | None) -> Record | None:
    """Return the record of what random halves of one study show."""
    if noise is None:
        return None
    told: Record = {name: getattr(noise, name) for name in ("n_people", "n_half", "divisions")}
    for key, spread in noise.indices.items():
        *path, last = key.split(".")
        place = told
        for part in path:
            place = place.setdefault(part, {})
        place[last] = asdict(spread)
    return told
