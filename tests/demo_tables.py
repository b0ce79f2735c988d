"""The tables of the demo studies, read without the code that validates them."""

import csv
from pathlib import Path

DEMO = Path(__file__).resolve().parents[1] / "demo_data"
STUDIES = ("brine-2016", "brine-2026")


def read(name):
    """Return the rows of a table, each a dict of texts."""
    with (DEMO / name).open(newline="", encoding="utf-8") as stream:
        return list(csv.DictReader(stream))


def terms_of(study):
    """Return the rows of a study's terms by term."""
    return {row["term"]: row for row in read(f"{study}/terms.csv")}


def terms_of_all():
    """Return the rows of both studies' terms, one after the other."""
    return [row for study in STUDIES for row in terms_of(study).values()]


def planted_classes(study):
    """Return the class in which the generator planted each term, empty for those of none."""
    return {row["term"]: row["class"] for row in read(f"{study}.planted.csv")}
