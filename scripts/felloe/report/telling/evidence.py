"""The results that a page is told from: every value by file and key, nothing else."""

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from felloe.ground.dotted import value_at
from felloe.ground.files.records import read_json
from felloe.ground.files.tables import Row, Table


class Evidence:
    """
    The result files that a page may quote.

    Only files that were handed over are seen, so that a leftover of an earlier run is never told.

    Parameters
    ----------
    folder : str or Path
        The results.
    paths : iterable of str or Path
        Files in it.
    table_of : callable
        Takes a path relative to the results and returns the `Table` that is declared for it; it
        raises KeyError for a table that nobody declares.
    """

    def __init__(
        self,
        folder: str | Path,
        paths: Iterable[str | Path],
        table_of: Callable[[str], Table],
    ) -> None:
        self.paths = {Path(path).relative_to(folder).as_posix(): Path(path) for path in paths}
        self.table_of = table_of
        self.records: dict[str, Any] = {}
        self.tables: dict[str, list[Row]] = {}

    def has(self, name: str, *keys: str) -> bool:
        """Return whether a file is there, is not an empty table, and holds every key."""
        if name not in self.paths:
            return False
        if name.endswith(".csv"):
            rows = self.rows(name)
            return bool(rows) and all(key in rows[0] for key in keys)
        return all(self.find(name, key) is not None for key in keys)

    def record(self, name: str) -> Any:
        """Return a JSON file's content."""
        if name not in self.records:
            self.records[name] = read_json(self.paths[name])
        return self.records[name]

    def rows(self, name: str) -> list[Row]:
        """Return a table's rows, every cell as what its column is declared to hold."""
        if name not in self.tables:
            self.tables[name] = self.table_of(name).read(self.paths[name])
        return self.tables[name]

    def find(self, name: str, key: str) -> Any:
        """Return what stands under a dotted key of a JSON file, None if nothing does."""
        return value_at(self.record(name), key)

    def value(self, name: str, key: str) -> Any:
        """
        Return what stands under a dotted key of a JSON file.

        Raises
        ------
        ValueError
            If nothing does: a page must ask before it quotes.
        """
        found = self.find(name, key)
        if found is None:
            raise ValueError(f"{name} holds nothing under {key!r}")
        return found

    def select(self, name: str, **where: Any) -> list[Row]:
        """Return the rows of a table whose cells are as given; [] if there is no such table."""
        if name not in self.paths:
            return []
        return [
            row
            for row in self.rows(name)
            if all(row[column] == value for column, value in where.items())
        ]

    def cell(self, name: str, column: str, **where: Any) -> Any:
        """
        Return one cell of a table.

        Raises
        ------
        ValueError
            If not exactly one row is meant, or it has no such column.
        """
        rows = self.select(name, **where)
        if len(rows) != 1 or column not in rows[0]:
            raise ValueError(f"{name} has {len(rows)} rows of {where} for column {column!r}")
        return rows[0][column]
