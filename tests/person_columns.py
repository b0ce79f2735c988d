"""Finds in any file or drawing a column of numbers that tells the people of a study apart."""

import csv
import io
import json
import re
from collections import Counter

import numpy as np

PERSONAL = ("n_piles", "pairs_together_share", "minutes", "seconds_per_term", "entropy_bits",
            "agreement_with_others", "largest_pile_share", "pile_sizes")  # fmt: skip
GROUPS = (("makers",), ("panel",), ("makers", "panel"))


def columns_of(name, data):
    """Yield the columns of every table in a file, as sorted numbers or words."""
    if name.endswith(".csv"):
        tables = [list(csv.reader(io.StringIO(data.decode("utf-8"))))]
    elif name.endswith(".xlsx"):
        import openpyxl

        book = openpyxl.load_workbook(io.BytesIO(data), read_only=True)
        tables = [[*sheet.iter_rows(values_only=True)] for sheet in book]
    elif name.endswith(".html"):
        rows = re.findall(r"<tr>(.*?)</tr>", data.decode("utf-8"), re.DOTALL)
        cells = [re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.DOTALL) for row in rows]
        tables = [[[re.sub("<.*?>", "", cell) for cell in row] for row in cells]]
    elif name.endswith((".json", ".jsonld")):
        yield from lists_in(json.loads(data))
        return
    else:
        return
    for table in tables:
        width = max(map(len, table), default=0)
        for place in range(width):
            yield multiset(row[place] for row in table if len(row) > place)


def lists_in(value):
    """Yield every list of numbers or words in a JSON value, also one key through many objects."""
    if isinstance(value, dict):
        for each in value.values():
            yield from lists_in(each)
    elif isinstance(value, list):
        yield multiset(each for each in value if not isinstance(each, dict | list))
        for key in {key for each in value if isinstance(each, dict) for key in each}:
            yield multiset(each.get(key) for each in value if isinstance(each, dict))
        for each in value:
            yield from lists_in(each)


def multiset(values):
    return Counter(rounded(value) for value in values if value not in (None, ""))


def rounded(value):
    try:
        return round(float(value), 3)
    except (TypeError, ValueError):
        return str(value)


def person_columns(here):
    """Return the columns that tell people apart, of all of them and of the kept, by name."""
    path = here / "results" / "guild" / "validation" / "participants.csv"
    with open(path, encoding="utf-8") as stream:
        rows = list(csv.DictReader(stream))
    kept = [row for row in rows if row["status"] == "kept"]
    columns = {
        (name, len(members)): multiset(row[name] for row in members)
        for name in PERSONAL
        for members in (rows, kept)
    }
    return {key: values for key, values in columns.items() if len(values) > 4}


def rows_per_person(files, here):
    """Return every table that holds a column of all people, by file and column."""
    wanted = person_columns(here)
    return {
        (name, key)
        for name, data in files
        for column in columns_of(name, data)
        for key, values in wanted.items()
        if not values - column
    }


def marks_in(drawing):
    """Yield the places of the marks of each group of a drawing, across and down."""
    for group in re.split(r"<g\b", drawing):
        marks = re.findall(r'<use [^>]*x="([-.\d]+)" y="([-.\d]+)"', group)
        places = [(float(x), float(y)) for x, y in marks]
        yield from zip(*places, strict=True)


def drawn_people(drawing, here):
    """Return the columns of people whose values the marks of a drawing give back, in any scale."""
    found = set()
    for places in marks_in(drawing):
        for (name, _), values in population_columns(here).items():
            if len(places) == len(values) and len(set(places)) > 3:
                r = np.corrcoef(np.sort(places), np.sort(values))[0, 1]
                if r > 0.999 or np.corrcoef(np.sort(places)[::-1], np.sort(values))[0, 1] < -0.999:
                    found.add(name)
    return found


def population_columns(here):
    """Return the numbers of the kept of each population and of all, by column."""
    path = here / "results" / "guild" / "validation" / "participants.csv"
    with open(path, encoding="utf-8") as stream:
        rows = [row for row in csv.DictReader(stream) if row["status"] == "kept"]
    groups = {name: [row for row in rows if row["population"] in name] for name in GROUPS}
    return {
        (column, name): [float(row[column]) for row in members]
        for column in ("pairs_together_share", "minutes", "agreement_with_others", "n_piles")
        for name, members in groups.items()
    }
