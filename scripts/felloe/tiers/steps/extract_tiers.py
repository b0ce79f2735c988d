"""Step: classes, subclasses and terms, and how firmly each term sits."""

from typing import Any

import numpy as np

from felloe.clustering.tables import DELTA
from felloe.clustering.tree_files import read_distances, read_tree
from felloe.clustering.tree_likeness import delta_error
from felloe.errors import StudyError
from felloe.ground.files.records import read_json, write_json
from felloe.ground.people.sorts import POOLED
from felloe.matrices.tables import read_all_counts
from felloe.tiers.cuts import place_subclasses
from felloe.tiers.placement import StatusRule, judge_terms, leanings_of
from felloe.tiers.record import choice_record
from felloe.tiers.rows import (
    read_clustering_evidence,
    read_supports,
    write_evidence,
    write_undecided,
)
from felloe.tiers.settings import TierSettings, cuts_of_study


def main(
    *,
    together: list[str],
    both: list[str],
    distances: str,
    delta: str,
    linkage: str,
    support: str,
    class_support: str,
    homes: str,
    summary: str,
    ties: str,
    study: str,
    populations: list[str],
    settings: dict[str, Any],
    evidence: str,
    choice: str,
    undecided: str,
    prior: float | None = None,
) -> None:
    """Write the place of every term, the choice and its reasons, and the open questions."""
    apart, chosen = read_distances(distances), read_json(summary)
    asked = TierSettings(**settings)
    tree, supports = read_tree(linkage), read_supports(support)
    numbers = chosen["classes"]["number"], chosen["subclasses"]["number"]
    cuts, notes = cuts_of_study(asked.branch_cuts, study, apart.terms)
    try:
        tiers = place_subclasses(tree, numbers, cuts, supports, asked.limits_of_merging)
    except ValueError as error:
        raise StudyError(f"tiers.branch_cuts: {error}. Mend it in the settings.") from error
    found = read_clustering_evidence(
        tiers, supports, chosen["rogues"], homes=homes, class_support=class_support, ties=ties
    )
    chance = 1.0 - float(apart.pairs.mean())
    rule = StatusRule(asked.firm_probability, asked.undecided_probability, chance)
    placed = judge_terms(apart, found, rule)
    counts = dict(sorted(read_all_counts(populations, together, both, prior).items()))
    counts.pop(POOLED, None)  # leanings are those of each population
    write_evidence(evidence, found, placed)
    write_undecided(undecided, apart, found, placed, leanings_of(counts, found))
    delta_mean = float(np.mean([row["delta"] for row in DELTA.read(delta)]))
    fits = delta_mean, delta_error(len(apart.terms))
    write_json(choice, choice_record(chosen, tiers, rule, placed, notes, fits))
