"""Small studies for the tests, written as a study's owner would write them."""

import csv
from pathlib import Path

from felloe.errors import StudyError
from felloe.settings import DEFAULTS, read_yaml
from felloe.validation.canonical import write_study
from felloe.validation.intake.study import read_study
from felloe.validation.settings import Limits, ScreeningRules
from tables_as_text import read_texts

SETTINGS = read_yaml(DEFAULTS)
LIMITS = Limits(**SETTINGS["intake"])
RULES = ScreeningRules.of(SETTINGS["screening"])
REFERENCES = Path(__file__).parent / "references"
TERMS = ("brine", "crisp", "dill", "garlic", "lactic", "smoke")
PEOPLE = {f"p{n}": "makers" if n % 2 else "panel" for n in range(8)}
CANONICAL = {
    "settings": "study.json",
    "terms": "terms.csv",
    "sectors": "sectors.csv",
    "sorts": "sorts.csv",
    "register": "register.csv",
    "names": "names.csv",
    "decisions": "decisions.csv",
    "labels": "labels.csv",
    "colours": "colours.csv",
    "pile_words": "pile_words.csv",
    "crosswalk": "crosswalk.csv",
    "findings": "findings.csv",
}


def pile_of(person, term):
    """Return a pile that differs from person to person; always a whole number."""
    n, i = list(PEOPLE).index(person), TERMS.index(term)
    return str(1 + (i * (n + 1)) // 4 % 3)


def long_rows():
    """Return the sorts in the long layout, with the order in which terms were seen."""
    rows = [["participant", "term", "pile", "position"]]
    for n, person in enumerate(PEOPLE):
        for i, term in enumerate(TERMS):
            rows.append([person, term, pile_of(person, term), str((i + n) % len(TERMS) + 1)])
    return rows


def wide_rows():
    """Return the same sorts in the wide layout."""
    rows = [["participant", *TERMS]]
    return rows + [[person, *(pile_of(person, term) for term in TERMS)] for person in PEOPLE]


def tables():
    """Return the tables of a valid study by file name."""
    return {
        "terms.csv": [
            ["term", "label", "definition", "reference", "caution"],
            *([term, term.title(), f"as of {term}", "smell only", "none known"] for term in TERMS),
        ],
        "participants.csv": [
            ["participant", "population", "minutes"],
            *([person, population, "12.5"] for person, population in PEOPLE.items()),
        ],
        "sorts.csv": long_rows(),
        "names.csv": [
            ["tier", "anchor", "name", "absorbs"],
            ["class", "brine", "Salt and sour", ""],
            ["subclass", "smoke", "Smoke", "yes"],
        ],
        "decisions.csv": [
            ["term", "beside", "reason", "decided_on"],
            ["dill", "garlic", "both are herbs of the brine", "2026-03-27"],
        ],
        "colours.csv": [
            ["term", "respondent", "colour"],
            ["brine", "r1", "#8FBC8F"],
            ["brine", "r2", "#aabbcc"],
        ],
    }


def settings_text(layout="long"):
    """Return a valid `study.yaml`."""
    return (
        "title: Words for brine\nedition: 2026\n"
        "instruction: Put together what belongs together.\n"
        f"populations:\n  makers: Makers\n  panel: Panel\nsorts_layout: {layout}\n"
    )


def write_rows(path, rows, delimiter=",", newline="\n", encoding="utf-8"):
    """Write a table as CSV."""
    with open(path, "w", encoding=encoding, newline="") as stream:
        csv.writer(stream, delimiter=delimiter, lineterminator=newline).writerows(rows)


def bytes_of(folder):
    """Return the bytes of every file below a folder."""
    return {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def write_folder(folder, changed=None, layout="long"):
    """Write a valid study, or one with some of its tables changed (None: left out)."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "study.yaml").write_text(settings_text(layout), encoding="utf-8")
    for name, rows in {**tables(), **(changed or {})}.items():
        if rows is not None:
            write_rows(folder / name, rows)
    return folder


def faults_of(folder):
    """Return the faults of a study's folder, none if it is valid."""
    try:
        read_study(folder, LIMITS)
    except StudyError as error:
        return error.faults
    return ()


def canonical(folder, into):
    """Validate a folder and return the bytes of its canonical files, findings left out."""
    into.mkdir(parents=True, exist_ok=True)
    paths = {key: into / name for key, name in CANONICAL.items()}
    write_study(read_study(folder, LIMITS), paths)
    return {key: path.read_bytes() for key, path in paths.items() if key != "findings"}


def reference_rows(name):
    """Return the rows of a published table."""
    return read_texts(REFERENCES / name)


def reference_study(folder, rows, population=None):
    """Write published sorts as a study; identifiers are put in small letters."""
    item = "term" if "term" in rows[0] else "item"
    terms = dict.fromkeys(row[item].lower() for row in rows)
    people = {row["participant"].lower(): population or row["cohort"].lower() for row in rows}
    folder.mkdir(parents=True, exist_ok=True)
    names = "".join(f"  {name}: Group {name}\n" for name in sorted(set(people.values())))
    text = f"title: T\nedition: 2022\ninstruction: By likeness.\npopulations:\n{names}"
    (folder / "study.yaml").write_text(text, encoding="utf-8")
    write_rows(folder / "terms.csv", [["term", "label"], *([term, term] for term in terms)])
    write_rows(folder / "participants.csv", [["participant", "population"], *people.items()])
    sorts = [[row["participant"].lower(), row[item].lower(), row["pile"]] for row in rows]
    write_rows(folder / "sorts.csv", [["participant", "term", "pile"], *sorts])
    return folder


def with_cell(name, line, column, value):
    """Return a change: one cell of a table, by its line and its column's name."""

    def change(folder):
        rows = tables()[name]
        rows[line - 1][rows[0].index(column)] = value
        write_rows(folder / name, rows)

    return change


def with_row(name, *cells):
    """Return a change: one more row at the end of a table."""
    return lambda folder: write_rows(folder / name, [*tables()[name], list(cells)])


def without_row(name, line):
    """Return a change: one row fewer."""

    def change(folder):
        rows = tables()[name]
        del rows[line - 1]
        write_rows(folder / name, rows)

    return change


def with_text(name, old, new):
    """Return a change: another wording somewhere in a file."""

    def change(folder):
        text = (folder / name).read_text(encoding="utf-8")
        assert old in text
        (folder / name).write_text(text.replace(old, new, 1), encoding="utf-8", newline="")

    return change


def with_column(name, old, new):
    """Return a change: another name of a column."""
    return with_cell(name, 1, old, new)


def without_column(name, column):
    """Return a change: one column fewer."""

    def change(folder):
        rows = tables()[name]
        place = rows[0].index(column)
        write_rows(folder / name, [row[:place] + row[place + 1 :] for row in rows])

    return change


def with_bytes(name, data):
    """Return a change: other bytes as a whole file."""
    return lambda folder: (folder / name).write_bytes(data)


def gone(name):
    """Return a change: one file fewer."""
    return lambda folder: (folder / name).unlink()
