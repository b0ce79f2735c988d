"""One person's rows taken out of a table, every other byte left as it is."""

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass, field

from felloe.validation.intake.raw.characters import cleaned
from felloe.validation.intake.raw.csv_reader import likely_separator

WHO = ("participant", "respondent")  # columns that name people
EXPECTED = (*WHO, "population", "term", "pile")  # they tell which separator a table uses


@dataclass(frozen=True)
class Cut:
    """
    A table without somebody.

    Attributes
    ----------
    data : bytes
    rows : int
        How many were theirs.
    left : int
        How many are others'.
    """

    data: bytes
    rows: int
    left: int


@dataclass
class Lines:
    """Lines of a text, those remembered that were read since somebody asked."""

    text: str
    read: list[str] = field(default_factory=list)

    def __iter__(self) -> Iterator[str]:
        for line in io.StringIO(self.text, newline=""):
            self.read.append(line)
            yield line

    def taken(self) -> str:
        """Return what was read since the last time."""
        lines = "".join(self.read)
        self.read.clear()
        return lines


def without(data: bytes, person: str) -> Cut | None:
    """
    Return a table without the rows of somebody; None if it is no table of people.

    Parameters
    ----------
    data : bytes
        Of the file.
    person : str

    Raises
    ------
    ValueError
        If a table of people can't be read to its end.
    """
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise ValueError("is not UTF-8 text") from error
    lines = Lines(text)
    reader = csv.reader(lines, delimiter=likely_separator(data, EXPECTED))
    kept, rows, left = [], 0, 0
    columns: list[int] | None = None
    try:
        for row in reader:
            theirs = columns is not None and any(
                cleaned(row[place]) == person for place in columns if place < len(row)
            )
            if columns is None and any(cleaned(cell) for cell in row):
                columns = [place for place, name in enumerate(row) if cleaned(name) in WHO]
                if not columns:
                    return None
            elif any(cleaned(cell) for cell in row):
                rows, left = rows + theirs, left + (not theirs)
            line = lines.taken()
            kept += [] if theirs else [line]
    except csv.Error as error:
        raise ValueError(f"can't be read ({error})") from error
    return Cut("".join(kept).encode(), rows, left)
