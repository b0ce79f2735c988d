"""Step: the dossier that answers whether the populations may be pooled."""

from collections.abc import Sequence
from typing import Any

from felloe.comparison.dossier import check_comparable, compare_populations
from felloe.comparison.pair import Settings
from felloe.comparison.record import dossier_record
from felloe.comparison.rows import write_tables
from felloe.comparison.verdict import Margins
from felloe.ground.files.records import write_json
from felloe.ground.groups.ranges import GroupNumbers
from felloe.ground.randomness import Streams
from felloe.matrices.tables import read_all_counts
from felloe.validation.analysed import read_analysed, read_shown


def main(
    *,
    sorts: str,
    together: list[str],
    both: list[str],
    counted: list[str],
    study: str,
    seed: int,
    tiers: dict[str, Any],
    compared: dict[str, Any],
    margins: dict[str, Any],
    smallest_cell: int,
    populations: str,
    terms: str,
    pairs: str,
    splits: str,
    consequence: str,
    trees: str,
    prior: float | None = None,
    design: Sequence[str] = (),
) -> None:
    """Read sorts and counts, compare all populations, write the dossier and its tables."""
    analysed = read_analysed(sorts, prior)
    check_comparable(study, analysed)
    counts = read_all_counts(counted, together, both, prior)
    numbers = GroupNumbers(**tiers).common(len(analysed.terms))
    agreed = Margins(**margins)
    settings = Settings(**compared, numbers=numbers)
    dossier = compare_populations(analysed, counts, settings, agreed, Streams(seed, study))
    paths = {"terms": terms, "pairs": pairs, "splits": splits}
    write_tables(dossier, counts, {**paths, "consequence": consequence, "trees": trees})
    shown = read_shown(design[0], analysed) if design else None
    record = dossier_record(dossier, analysed, numbers, agreed, smallest_cell, shown)
    write_json(populations, record)
