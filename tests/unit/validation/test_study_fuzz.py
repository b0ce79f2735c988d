"""Spoilt studies: each is refused in words, or read as what it says; never silently otherwise."""

import csv
import io
import random
from collections import Counter
from itertools import combinations
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from felloe.errors import StudyError
from felloe.validation.intake.study import read_study
from study_folder import LIMITS, canonical, tables, write_folder, write_rows

TABLES = tuple(tables())
MOSTLY_SORTS = (*TABLES, *["sorts.csv"] * 6)  # what the matrix depends on is spoilt most
SPOILT_CELLS = (
    *(
        "",
        " ",
        "\u00a0",
        "0",
        "-1",
        "1.0",
        "01",
        "1e5",
        "1,5",
        "NA",
        "nan",
        "=1+1",
        "@x",
        "+x",
        "-",
    ),
    *("<b>x</b>", "garlic", "GARLIC", "gralic", "p1", "makers", "2026-01-01", "x" * 5000, "a;b"),
    *('a"b', "a\nb", "\u202e", "é", "e\u0301", "\ufeff1", "١", "none", "yes", "../x", "\x07", "'"),
)
ENCODINGS = ("utf-16", "utf-8-sig", "latin-1", "cp037", "utf-32")
LINE_ENDS = ("\r\n", "\r", "\n\n", "\u2028")


def parsed(text):
    return list(csv.reader(io.StringIO(text, newline="")))


def written(rows, **how):
    stream = io.StringIO(newline="")
    csv.writer(stream, lineterminator="\n", **how).writerows(rows)
    return stream.getvalue()


def on_rows(change):
    """Return a spoiler of one table, from a change of its rows."""

    def spoil(rng, folder):
        path = folder / rng.choice(MOSTLY_SORTS)
        if not path.is_file():
            return
        rows = parsed(path.read_bytes().decode("utf-8", "replace"))
        if len(rows) < 2 or not all(rows):
            return
        change(rng, rows)
        path.write_bytes(written(rows).encode("utf-8", "replace"))

    return spoil


def on_bytes(change):
    """Return a spoiler of one file, from a change of its bytes."""

    def spoil(rng, folder):
        path = folder / rng.choice([*MOSTLY_SORTS, "study.yaml"])
        if path.is_file():
            path.write_bytes(change(rng, path.read_bytes()))

    return spoil


def a_cell(rng, rows):
    row = rng.choice(rows)
    return row, rng.randrange(len(row))


def retype_cell(rng, rows):
    row, column = a_cell(rng, rows)
    row[column] = rng.choice(SPOILT_CELLS)


def truncate_cell(rng, rows):
    row, column = a_cell(rng, rows)
    row[column] = row[column][: rng.randrange(len(row[column]) + 1)]


def swap_cells(rng, rows):
    (one, i), (other, j) = a_cell(rng, rows), a_cell(rng, rows)
    one[i], other[j] = other[j], one[i]


def drop_cell(rng, rows):
    row, column = a_cell(rng, rows)
    del row[column]


def double_cell(rng, rows):
    row, column = a_cell(rng, rows)
    row.insert(column, row[column])


def drop_row(rng, rows):
    del rows[rng.randrange(len(rows))]


def double_row(rng, rows):
    rows.insert(rng.randrange(len(rows) + 1), list(rng.choice(rows)))


def swap_rows(rng, rows):
    i, j = rng.randrange(len(rows)), rng.randrange(len(rows))
    rows[i], rows[j] = rows[j], rows[i]


def truncate_rows(rng, rows):
    del rows[rng.randrange(1, len(rows)) :]


def drop_column(rng, rows):
    column = rng.randrange(min(map(len, rows)))
    for row in rows:
        del row[column]


def double_column(rng, rows):
    column = rng.randrange(min(map(len, rows)))
    for row in rows:
        row.append(row[column])


def swap_columns(rng, rows):
    width = min(map(len, rows))
    i, j = rng.randrange(width), rng.randrange(width)
    for row in rows:
        row[i], row[j] = row[j], row[i]


def retype_column(rng, rows):
    column, value = rng.randrange(min(map(len, rows))), rng.choice(SPOILT_CELLS)
    for row in rows[1:]:
        row[column] = value


def cut_bytes(rng, data):
    return data[: rng.randrange(len(data) + 1)]


def change_byte(rng, data):
    place = rng.randrange(max(1, len(data)))
    return data[:place] + bytes([rng.randrange(256)]) + data[place + 1 :]


def insert_byte(rng, data):
    place = rng.randrange(len(data) + 1)
    return data[:place] + bytes([rng.choice(b'",;\n\r\0\t\xff =')]) + data[place:]


def encode_again(rng, data):
    text = data.decode("utf-8", "replace")
    return text.encode(rng.choice(ENCODINGS), "replace")


def other_line_ends(rng, data):
    return data.decode("utf-8", "replace").replace("\n", rng.choice(LINE_ENDS)).encode()


def other_separators(rng, data):
    return data.replace(b",", rng.choice([b";", b"\t", b"|", b" ,", b", ", b",,"]))


def drop_file(rng, folder):
    (folder / rng.choice([*TABLES, "study.yaml"])).unlink(missing_ok=True)


def empty_file(rng, folder):
    (folder / rng.choice([*TABLES, "study.yaml"])).write_bytes(
        rng.choice([b"", b"\n", b"\xff\xfe"])
    )


def copy_file(rng, folder):
    one, other = (
        folder / rng.choice(TABLES),
        folder / rng.choice([*TABLES, "study.yaml", "sorts.xlsx"]),
    )
    if one.is_file():
        other.write_bytes(one.read_bytes())


def rename_file(rng, folder):
    one = folder / rng.choice(TABLES)
    if one.is_file():
        one.rename(folder / rng.choice(["name.csv", "Sorts.csv", "other.txt", "terms.csv"]))


ROW_CHANGES = (
    *(retype_cell, truncate_cell, swap_cells, drop_cell, double_cell),
    *(drop_row, double_row, swap_rows, truncate_rows),
    *(drop_column, double_column, swap_columns, retype_column),
)
BYTE_CHANGES = (
    cut_bytes,
    change_byte,
    insert_byte,
    encode_again,
    other_line_ends,
    other_separators,
)
SPOILERS = {
    **{change.__name__: on_rows(change) for change in ROW_CHANGES},
    **{change.__name__: on_bytes(change) for change in BYTE_CHANGES},
    **{change.__name__: change for change in (drop_file, empty_file, copy_file, rename_file)},
}


def trimmed(text):
    return text.strip().strip("\u200b\u2060\ufeff").strip()


def plainly_read(path):
    """Read a table the simple way, as rows of trimmed cells without blank rows."""
    text = path.read_bytes().decode("utf-8-sig")
    commas, semicolons = (
        list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)) for delimiter in ",;"
    )
    rows = commas if len(max(commas, key=len)) >= len(max(semicolons, key=len)) else semicolons
    rows = [[trimmed(cell) for cell in row] for row in rows]
    header, *rows = [row for row in rows if any(row)]
    assert not any(any(row[len(header) :]) for row in rows)
    return [dict(zip(header, row, strict=False)) for row in rows]


def plain_pile(text):
    return str(int(float(text))) if text.replace(".", "").isdigit() else text


def what_it_says(folder):
    """
    Return who belongs where and which pairs each put together, apart, or did not place.

    Independent of the reader that is tested; fails where a participant has not exactly one
    row for every term.
    """
    people = {
        row["participant"]: row["population"] for row in plainly_read(folder / "participants.csv")
    }
    terms = [row["term"] for row in plainly_read(folder / "terms.csv")]
    placed = Counter()
    piles = {}
    for row in plainly_read(folder / "sorts.csv"):
        key = row["participant"], row["term"]
        placed[key] += 1
        piles[key] = plain_pile(row["pile"])
    assert not {pile.casefold() for pile in piles.values()} & {"na", "nan", "none"}
    assert placed == Counter((person, term) for person in people for term in terms)
    return people, relations(sorted(people), sorted(terms), lambda *key: piles[key] or None)


def relations(people, terms, pile):
    """Return for each person and pair of terms: True together, False apart, None not placed."""
    found = {}
    for person in people:
        for a, b in combinations(terms, 2):
            one, other = pile(person, a), pile(person, b)
            found[person, a, b] = None if one is None or other is None else one == other
    return found


def what_was_read(study):
    """Return the same of a study as it was read."""
    terms = [row["term"] for row in study.terms]
    people = study.register.participants
    cells = {
        (person, term): None if pile == -1 else pile
        for person, row in zip(people, study.piles.tolist(), strict=True)
        for term, pile in zip(terms, row, strict=True)
    }
    populations = dict(zip(people, study.register.populations, strict=True))
    return populations, relations(people, terms, lambda *key: cells[key])


def valid_study(place, seed):
    """Write a valid study; every other one has no positions, which would give much away."""
    rows = tables()["sorts.csv"]
    rows = [row[:3] for row in rows] if seed % 2 else rows
    return write_folder(Path(place) / "study", {"sorts.csv": rows})


def told(refusal):
    """Check that a refusal says what, where and what to do, a line for each fault."""
    assert refusal.faults
    for fault in refusal.faults:
        assert fault.file
        assert fault.problem
        assert fault.remedy
        assert "\n" not in str(fault)
    return "refused"


def check_spoilt(folder):
    """Check that a spoilt study is refused in words or read as what it says; return which."""
    try:
        study = read_study(folder, LIMITS)
    except StudyError as error:
        return told(error)
    assert what_was_read(study) == what_it_says(folder)
    return "read"


@pytest.mark.parametrize("name", SPOILERS)
def test_a_spoilt_study_is_refused_or_read_as_what_it_says(name):
    outcomes = Counter()
    for seed in range(20):
        with TemporaryDirectory() as place:
            folder = valid_study(place, seed)
            SPOILERS[name](random.Random(seed), folder)
            outcomes[check_spoilt(folder)] += 1
    assert outcomes.total() == 20


def test_a_study_spoilt_in_several_ways_is_refused_or_read_as_what_it_says():
    outcomes = Counter()
    for seed in range(200):
        rng = random.Random(f"several {seed}")
        with TemporaryDirectory() as place:
            folder = valid_study(place, seed)
            for _ in range(rng.randrange(1, 4)):
                rng.choice(list(SPOILERS.values()))(rng, folder)
            outcomes[check_spoilt(folder)] += 1
    # spoiling must neither always nor never be found out, or the test would prove nothing
    assert outcomes["refused"] > 50
    assert outcomes["read"] > 10


def shuffled_rows(rng, rows):
    body = rows[1:]
    rng.shuffle(body)
    rows[1:] = body


def shuffled_columns(rng, rows):
    order = rng.sample(range(len(rows[0])), len(rows[0]))
    rows[:] = [[row[i] for i in order] for row in rows]


def blank_rows(rng, rows):
    rows.insert(rng.randrange(1, len(rows) + 1), rng.choice([[], [""], ["", "\u00a0"]]))


def stray_blanks(rng, rows):
    for _ in range(5):
        row, column = a_cell(rng, rows)
        row[column] = rng.choice([" ", "\u00a0", "\t"]) + row[column] + rng.choice([" ", "\u3000"])


def empty_columns(rng, rows):
    for row in rows:
        row.extend(["", ""])


def renumbered(rng, rows):
    if "pile" in rows[0]:
        column = rows[0].index("pile")
        names = dict(zip("123", rng.sample(["7", "8", "9", "herbs", "pile b"], 3), strict=True))
        for row in rows[1:]:
            row[column] = names.get(trimmed(row[column]), row[column])


FORMS = (shuffled_rows, shuffled_columns, blank_rows, stray_blanks, empty_columns, renumbered)


def test_a_study_in_another_form_gives_the_same_bytes():
    with TemporaryDirectory() as place:
        expected = canonical(write_folder(Path(place) / "study"), Path(place) / "out")
    for seed in range(120):
        rng = random.Random(f"form {seed}")
        with TemporaryDirectory() as place:
            folder = write_folder(Path(place) / "study")
            for name, rows in tables().items():
                for change in rng.sample(FORMS, 3):
                    if change is blank_rows or all(len(row) == len(rows[0]) for row in rows):
                        change(rng, rows)
                write_rows(
                    folder / name,
                    rows,
                    delimiter=rng.choice(",;"),
                    newline=rng.choice(["\n", "\r\n", "\r"]),
                    encoding=rng.choice(["utf-8", "utf-8-sig"]),
                )
            assert canonical(folder, Path(place) / "out") == expected, f"form {seed}"
