"""A study before its analysis: its lexicon, and whether there are sorts already."""

from collections.abc import Iterator
from pathlib import Path

from felloe.collecting.gathering.returns import RETURNS, files_in
from felloe.errors import Fault
from felloe.ground.files.tables import Row
from felloe.settings_merged import Settings
from felloe.validation.intake.folder import EXPECTED, read_table
from felloe.validation.intake.lexicon.left_out import read_left_out
from felloe.validation.intake.lexicon.vocabulary import check_terms
from felloe.validation.intake.raw.csv_reader import read_csv
from felloe.validation.intake.raw.raw_table import RawTable
from felloe.validation.intake.sorts.across import check_sizes
from felloe.validation.settings import Limits

SORTS = ("sorts.csv", "sorts.xlsx")


def data_of(folder: Path) -> Path | None:
    """Return the first place in a study's folder that holds sorts; a header alone is none."""
    for path, table in tables_of_sorts(folder):
        if table.partial or len(table) > 0:  # one that can't be read may have rows
            return path
    returns = folder / RETURNS
    return returns if files_in(returns) else None


def tables_of_sorts(folder: Path) -> Iterator[tuple[Path, RawTable]]:
    """Yield the files of sorts in a study's folder that are not empty, and what is in them."""
    for path in (folder / name for name in SORTS):
        if path.is_file() and path.stat().st_size:
            yield path, read_table(path, path.name, EXPECTED[SORTS[0]])


def read_terms(folder: Path, settings: Settings) -> tuple[list[Row], list[Fault]]:
    """Return the lexicon, and every fault of its file and of the terms that are left out."""
    name, limits = "terms.csv", Limits(**settings["intake"])
    shown = str(folder / name)
    if not (folder / name).is_file():
        remedy = f"Write it; its columns are: {', '.join(EXPECTED[name])}."
        return [], [Fault(shown, problem="the file is missing", remedy=remedy)]
    table: RawTable = read_csv(folder / name, shown, EXPECTED[name])
    terms = check_terms(table, limits)
    if terms and not table.faults:
        sizes = check_sizes([row["term"] for row in terms], limits)
        of_sizes = [Fault(shown, 0, f.column, f.value, f.problem, f.remedy) for f in sizes]
        _, of_left_out = read_left_out(folder, [row["term"] for row in terms], limits)
        return terms, [*of_sizes, *of_left_out]
    return terms, table.faults
