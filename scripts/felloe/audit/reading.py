"""What a folder of results says of the chart, as far as its files are there."""

import csv
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from felloe.ground.files.records import read_json
from felloe.ground.files.tables import read_rows, unguarded

Texts = dict[str, str]
PUBLISHED, DATA_ONLY = "tiers/published.csv", "tiers/data_only.csv"
ORDER, RING, LINKAGES = "circle/order.csv", "circle/order.json", "clustering/linkages.csv"
COLOURS, TERMS = "circle/colours.csv", "validation/terms.csv"
POPULATIONS = "comparison/populations.json"
NEEDED = {  # columns without which a table says nothing here
    PUBLISHED: ("term", "class", "subclass", "class_name", "subclass_name", "status"),
    DATA_ONLY: ("term", "class", "class_name"),
    ORDER: ("term", "class"),
    LINKAGES: ("linkage", "cophenetic_correlation", "chosen"),
    COLOURS: ("tier", "term", "used"),
    TERMS: ("term", "label"),
}


@dataclass(frozen=True)
class Outcome:
    """
    The chart of a run, as texts.

    Attributes
    ----------
    tables : dict of str to list of dict
        Rows of each table that is there, by its path.
    records : dict of str to object
        JSON files, by their paths.
    unread : tuple of str
        Files that are there and can not be read.
    """

    tables: Mapping[str, list[Texts]] = field(default_factory=dict)
    records: Mapping[str, Any] = field(default_factory=dict)
    unread: tuple[str, ...] = ()

    def by_term(self, path: str) -> dict[str, Texts]:
        """Return the rows of a table by their terms; {} if it is not there."""
        return {row["term"]: row for row in self.tables.get(path, [])}

    def label(self, term: str) -> str:
        """Return the wording of a term, its id if it is not known."""
        return self.by_term(TERMS).get(term, {}).get("label") or term

    def value(self, path: str, key: str) -> Any:
        """Return what a record holds under a key, None if there is nothing."""
        record = self.records.get(path)
        return record.get(key) if isinstance(record, Mapping) else None


def read_outcome(folder: Path) -> Outcome:
    """Read what a folder says of the chart; files that are missing or bad are left out."""
    tables: dict[str, list[Texts]] = {}
    records: dict[str, Any] = {}
    unread: list[str] = []
    for path in (*NEEDED, RING, POPULATIONS):
        try:
            if path in NEEDED:
                tables[path] = texts_of(folder / path, NEEDED[path])
            else:
                records[path] = read_json(folder / path)
        except FileNotFoundError:
            continue
        except (OSError, ValueError, csv.Error, RecursionError):
            unread.append(path)
    return Outcome(tables, records, tuple(unread))


def texts_of(path: Path, needed: tuple[str, ...]) -> list[Texts]:
    """
    Return the rows of a table as texts.

    Raises
    ------
    ValueError
        If a column that is needed is missing, a row has another length, or the terms of a table
        of terms are not each there once.
    """
    header, rows = read_rows(path)
    found = [dict(zip(header, map(unguarded, row), strict=True)) for row in rows]
    if not set(needed) <= set(header):
        raise ValueError(f"{path.name} lacks a column")
    if needed[0] == "term" and len({row["term"] for row in found}) < len(found):
        raise ValueError(f"{path.name} has a term twice")
    return found
