"""The results of a study as documents read them: every value by file and key, nothing else."""

from pathlib import Path

from felloe.ground.records import read_json
from felloe.ground.tables import read_table


class Evidence:
    """
    The result files that a document may quote.

    Only files that were handed over are seen, so that a leftover of an earlier run is never told.

    Parameters
    ----------
    folder : str or Path
        The study's results.
    paths : iterable of str or Path
        Files in it.
    """

    def __init__(self, folder, paths):
        self.paths = {Path(path).relative_to(folder).as_posix(): Path(path) for path in paths}
        self.records = {}
        self.tables = {}

    def has(self, name, *keys):
        """Return whether a file is there, is not an empty table, and holds every key."""
        if name not in self.paths:
            return False
        if name.endswith(".csv"):
            rows = self.rows(name)
            return bool(rows) and all(key in rows[0] for key in keys)
        return all(self.find(name, key) is not None for key in keys)

    def record(self, name):
        """Return a JSON file's content."""
        if name not in self.records:
            self.records[name] = read_json(self.paths[name])
        return self.records[name]

    def rows(self, name):
        """Return a table's rows, each a dict of text."""
        if name not in self.tables:
            self.tables[name] = read_table(self.paths[name])
        return self.tables[name]

    def find(self, name, key):
        """Return what stands under a dotted key of a JSON file, None if nothing does."""
        found = self.record(name)
        for part in key.split("."):
            if isinstance(found, dict) and part in found:
                found = found[part]
            elif isinstance(found, list) and part.isdigit() and int(part) < len(found):
                found = found[int(part)]
            else:
                return None
        return found

    def value(self, name, key):
        """
        Return what stands under a dotted key of a JSON file.

        Raises
        ------
        ValueError
            If nothing does: a document must ask before it quotes.
        """
        found = self.find(name, key)
        if found is None:
            raise ValueError(f"{name} holds nothing under {key!r}")
        return found

    def select(self, name, **where):
        """Return the rows of a table whose cells are as given; [] if there is no such table."""
        if name not in self.paths:
            return []
        wanted = {column: str(value) for column, value in where.items()}
        return [
            row
            for row in self.rows(name)
            if all(row.get(column) == value for column, value in wanted.items())
        ]

    def cell(self, name, column, **where):
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
