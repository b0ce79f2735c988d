"""A ballot filled in as a spreadsheet program would, and a study run again with what came out."""

import csv
import shutil
from pathlib import Path

from called import called
from felloe.validation.ballot_form import ABOUT, CHOICES, HEAD, SHEET
from small_study import ROOT, STUDY

DAY = "2031-05-06"
FILLED = {"reason": "the panel says so", "decided_on": DAY, "decided_by": "lexicon committee"}


def opened_ballot(path):
    """Return a workbook of the ballot, with its lists of choices by number."""
    from openpyxl import load_workbook

    book = load_workbook(path)
    lists = {
        row[0]: [cell for cell in row[1:] if cell is not None]
        for row in book[CHOICES].iter_rows(values_only=True)
    }
    return book, lists


def header(book):
    """Return the names of the columns, whose heads are in the words of a language."""
    rows = book[ABOUT].iter_rows(max_col=2, values_only=True)
    said = {head: name[len(HEAD) :] for name, head in rows if str(name).startswith(HEAD)}
    return [said.get(cell.value, cell.value) for cell in book[SHEET][1]]


def row_of(book, kind, subject, tier=None):
    """Return the row of a question."""
    names = header(book)
    for cells in book[SHEET].iter_rows(min_row=2):
        found = dict(zip(names, (cell.value for cell in cells), strict=True))
        if (found["kind"], found["subject"]) == (kind, subject) and tier in (None, found["tier"]):
            return cells[0].row
    raise KeyError(subject)


def put(book, row, **values):
    """Fill in cells of a row, by the names of their columns."""
    for name, value in values.items():
        book[SHEET].cell(row, header(book).index(name) + 1).value = value


def option(book, lists, row, code):
    """Return the first choice of a row that starts with a code."""
    return next(one for one in lists[book[SHEET].cell(row, 1).value] if one.startswith(code))


def choose(book, lists, row, code, **further):
    """Fill in a whole row; return the text of the choice."""
    text = option(book, lists, row, code)
    put(book, row, choice=text, **{**FILLED, **further})
    return text


def table(path):
    """Return the rows of a CSV file, as Python's own reader sees them."""
    with open(path, encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def copied(small_results, folder):
    """Copy a finished small study; return the folder of its own files and that of its results."""
    shutil.copytree(small_results.parents[1], folder, dirs_exist_ok=True)
    return Path(folder) / STUDY, Path(folder) / "results" / STUDY


def published_again(results, *more):
    """Run the study again as far as its published tiers (and more); return them by term."""
    targets = [f"results/{STUDY}/{name}" for name in ("tiers/published.csv", *more)]
    command = ["-m", "snakemake", "--snakefile", ROOT / "Snakefile"]
    command += ["--workflow-profile", ROOT / "workflow" / "profiles" / "default"]
    command += ["--configfile", "small.yaml", "--directory", ".", "--cores", "2", *targets]
    done = called(*command, cwd=results.parents[1], timeout=600)
    assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-6000:]
    return {row["term"]: row for row in table(results / "tiers" / "published.csv")}
