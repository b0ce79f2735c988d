"""What one run says of two editions, or of a timeline: its record and its tables."""

import csv
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from felloe.audit.pair_changes import Value
from felloe.audit.reading import Texts, texts_of
from felloe.ground.dotted import value_at
from felloe.ground.files.records import read_json

COMPARISON, TERMS = "comparison.json", "terms.csv"
TIMELINE, PATHS = "timeline.json", "timeline.csv"
NEEDED = ("term", "change", "migration", "relation", "class_name_older", "class_name_newer")
PATH_NEEDED = ("label", "surest", "moves")


@dataclass(frozen=True)
class PairOutcome:
    """
    A comparison of editions, or a timeline, as one run has it.

    Attributes
    ----------
    record : dict
        `comparison.json`, and `timeline.json` under `timeline`.
    rows : list of dict
        Of `terms.csv`.
    paths : list of dict
        Of `timeline.csv`.
    unread : tuple of str
        What is not there, or can not be read.
    """

    record: Mapping[str, Any] = field(default_factory=dict)
    rows: tuple[Texts, ...] = ()
    paths: tuple[Texts, ...] = ()
    unread: tuple[str, ...] = ()

    @property
    def by_term(self) -> dict[tuple[str, str], Texts]:
        """The rows by the older and the newer id; a term that was split has several."""
        return {(row.get("term_older", ""), row["term"]): row for row in self.rows}

    def value(self, key: str) -> Value:
        """Return what the record holds under a dotted key, None if there is no plain value."""
        found = value_at(self.record, key)
        return found if isinstance(found, (bool, int, float, str)) else None


def read_pair(folder: Path, names: Collection[str] = (COMPARISON, TERMS)) -> PairOutcome:
    """
    Read a comparison of editions, a timeline, or both; what is missing or bad is named.

    Parameters
    ----------
    folder : Path
    names : collection of str
        Files to read, of `COMPARISON`, `TERMS`, `TIMELINE`, `PATHS`.

    Returns
    -------
    PairOutcome
    """
    records: dict[str, Mapping[str, Any]] = {}
    tables: dict[str, tuple[Texts, ...]] = {}
    # a term that was split stands there several times, so its column alone may repeat
    columns = {TERMS: ("change", *NEEDED), PATHS: ("path", *PATH_NEEDED)}
    unread = []
    for name in names:
        try:
            if name in columns:
                tables[name] = tuple(texts_of(folder / name, columns[name]))
            else:
                read = read_json(folder / name)
                records[name] = read if isinstance(read, Mapping) else {}
        except (OSError, ValueError, RecursionError, csv.Error):
            unread.append(name)
    record = {**records.get(COMPARISON, {}), "timeline": records.get(TIMELINE)}
    return PairOutcome(record, tables.get(TERMS, ()), tables.get(PATHS, ()), tuple(unread))


def read_pairs(was: Path, now: Path) -> tuple[PairOutcome, PairOutcome] | None:
    """Read what two folders tell of editions; None where neither has a comparison or timeline."""
    kinds = {COMPARISON: (COMPARISON, TERMS), TIMELINE: (TIMELINE, PATHS)}
    names = [
        name
        for record, files in kinds.items()
        if (was / record).is_file() or (now / record).is_file()
        for name in files
    ]
    return (read_pair(was, names), read_pair(now, names)) if names else None
