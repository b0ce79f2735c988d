"""The tables of the demo studies, read without the code that validates them."""

import csv
from pathlib import Path

DEMO = Path(__file__).resolve().parents[1] / "demo_data"
STUDIES = ("brine-2016", "brine-2026")


def read(name):
    with (DEMO / name).open(newline="", encoding="utf-8") as stream:
        return list(csv.DictReader(stream))


def terms_of(study):
    return {row["term"]: row for row in read(f"{study}/terms.csv")}
