"""Hundreds of spoilt copies of a study in parts: each says what its cells say, or is refused."""

import csv
import io
import random
import re

import openpyxl
import pytest
from felloe.errors import Fault, StudyError
from study_folder import CANONICAL, SETTINGS, write_rows
from validate_sorts import main as validate_sorts
from write_design import main as write_design

TERMS = [f"t{at}" for at in range(10)]
PEOPLE = {f"p{at}": "makers" if at % 2 else "panel" for at in range(8)}
HIDDEN = 3  # of the ten terms, from everybody
MOST_UNSEEN = 0.3
TABLES = ("design", "sorts", "participants")
FORMS = ("plain", "semicolons", "mark", "crlf", "quoted", "sheet")
CELLS = [
    "", " ", "p3", "P3", "p99", "t4", "T4", "t99", "1", "2", "7", "0", "-1", "1.0", "1.5", "first",
    "a", "A", "=1+1", "na", "é", "p3,t4", 'a"b', "a\nb", "x" * 70, "1e3", "999999", "panel", "pool",
]  # fmt: skip


def is_shown(person, term):
    return (3 * person + term) % 10 >= HIDDEN


def tables(layout):
    """Return the rows of every table of a study without a fault."""
    shown = [(i, j) for i in range(len(PEOPLE)) for j in range(len(TERMS)) if is_shown(i, j)]
    position = {(i, j): 1 + (7 * sum(is_shown(i, k) for k in range(j))) % 8 for i, j in shown}
    pile = {(i, j): 1 + (j + (i * j) % 3) // 4 for i, j in shown}
    sorts = [["participant", "term", "pile"], *([f"p{i}", f"t{j}", pile[i, j]] for i, j in shown)]
    if layout == "wide":
        cells = [[pile.get((i, j), "") for j in range(len(TERMS))] for i in range(len(PEOPLE))]
        sorts = [["participant", *TERMS], *([f"p{i}", *row] for i, row in enumerate(cells))]
    return {
        "participants": [["participant", "population"], *map(list, PEOPLE.items())],
        "design": [["participant", "term", "position"],
                   *([f"p{i}", f"t{j}", position[i, j]] for i, j in shown)],
        "sorts": sorts,
    }  # fmt: skip


def as_texts(rows):
    return [[str(cell) for cell in row] for row in rows]


def written(folder, rows, layout="long", forms=None):
    """Write the study; each table in one of the forms that may be handed in."""
    folder.mkdir()
    (folder / "study.yaml").write_text(
        "title: Parts\nedition: 2031\ninstruction: By likeness.\nsorts_layout: "
        f"{layout}\npopulations:\n  makers: Makers\n  panel: Panel\n", encoding="utf-8",
    )  # fmt: skip
    write_rows(folder / "terms.csv", [["term", "label"], *([term, f"A {term}"] for term in TERMS)])
    for name in TABLES:
        write_form(folder, name, as_texts(rows[name]), (forms or {}).get(name, "plain"))
    return folder


def write_form(folder, name, rows, form):
    path = folder / f"{name}.csv"
    if form == "sheet":
        book = openpyxl.Workbook()
        for row in rows:
            book.active.append([int(cell) if re.fullmatch(r"[1-9]\d*", cell) else cell or None
                                for cell in row])  # fmt: skip
        for cells in book.active.iter_rows():
            for cell in cells:
                cell.data_type = "s" if isinstance(cell.value, str) else cell.data_type
        book.save(folder / f"{name}.xlsx")
    elif form == "quoted":
        with open(path, "w", encoding="utf-8", newline="") as stream:
            csv.writer(stream, quoting=csv.QUOTE_ALL).writerows(rows)
    else:
        write_rows(
            path, rows, ";" if form == "semicolons" else ",", "\r\n" if form == "crlf" else "\n",
            "utf-8-sig" if form == "mark" else "utf-8",
        )  # fmt: skip


def outcome(folder, into):
    """Return what the step wrote: who was shown what, where, in which pile; or the faults."""
    into.mkdir()
    paths = {key: str(into / name) for key, name in CANONICAL.items()}
    try:
        validate_sorts(source=str(folder), limits=SETTINGS["intake"], faults=str(into / "faults"),
                       most_unseen=MOST_UNSEEN, identical_from=30, **paths)  # fmt: skip
    except StudyError as refused:
        assert [path.name for path in into.iterdir()] == ["faults"]  # nothing half-written
        return refused.faults
    write_design(sorts=paths["sorts"], design=str(into / "design.csv"))
    shown = {(row[0], row[1]) for row in rows_of((into / "design.csv").read_text("utf-8"))[1:]}
    sorts = rows_of((into / "sorts.csv").read_text("utf-8"))[1:]
    assert shown == {(person, term) for person, term, *_ in sorts}
    return shown, grouped(sorts), {(p, t): place for p, t, _, place in sorts if place}


def rows_of(text, separator=","):
    return list(csv.reader(io.StringIO(text, newline=""), delimiter=separator))


def grouped(rows):
    """Return the terms that lie together, by person: what a pile is called says nothing."""
    piles = {}
    for person, term, pile, *_ in rows:
        if pile:
            piles.setdefault((person, pile), set()).add(term)
    return sorted((person, sorted(terms)) for (person, _), terms in piles.items())


def plainly_read(folder, layout):
    """
    Read the study as its description says, by other code; None where it has a fault.

    config/README.md, "A study's folder".
    """
    try:
        people = table(folder, "participants", ["participant", "population"])
        design = table(folder, "design", ["participant", "term"])
        long = layout == "long"
        sorts = table(folder, "sorts", ["participant", *(["term", "pile"] if long else TERMS)])
        if not long:
            assert set(sorts[0]) == {"participant", *TERMS}
            assert len({row["participant"] for row in sorts}) == len(sorts)
            sorts = [{"participant": row["participant"], "term": term, "pile": row[term]}
                     for row in sorts for term in TERMS]  # fmt: skip
        who = {row["participant"]: row["population"] for row in people}
        assert len(who) == len(people)
        assert all(map(is_id, who))
        assert all(list(who.values()).count(name) >= 4 for name in ("makers", "panel"))
        assert set(who.values()) == {"makers", "panel"}
        assert all(is_id(row["participant"]) for row in design)
        pairs = [(row["participant"], row["term"]) for row in design]
        assert len(set(pairs)) == len(pairs)
        assert {term for _, term in pairs} <= set(TERMS)
        shown = {(person, term) for person, term in pairs if person in who}
        assert {term for _, term in shown} == set(TERMS)
        assert all(sum(one == person for one, _ in shown) > 1 for person in who)
        places = {}
        for at in (design, sorts):
            if at and "position" in at[0]:
                for row in at:
                    if row["position"]:
                        assert re.fullmatch(r"\d+(\.0*)?", row["position"], re.ASCII)
                        place = int(float(row["position"]))
                        assert 1 <= place <= 1_000_000
                        places[id(at), row["participant"], place] = row["term"]
                own = [row for row in at if row["position"] and row["participant"] in who]
                assert len({(row["participant"], float(row["position"])) for row in own}) == len(
                    own
                )
        assert {row["participant"] for row in sorts} == set(who)
        for row in sorts:
            row["pile"] = pile_of(row["pile"])
        rows = [(row["participant"], row["term"], row["pile"]) for row in sorts]
        assert len({row[:2] for row in rows}) == len(rows)
        rows = [row for row in rows if long or row[2]]
        assert {row[:2] for row in rows} <= shown
        called = {(person, pile) for person, _, pile in rows}
        assert len({(person, pile.casefold()) for person, pile in called}) == len(called)
        for name in ("makers", "panel"):
            placed = [{term for person, term, pile in rows if pile and person == one}
                      for one in who if who[one] == name]  # fmt: skip
            assert set().union(*placed) == set(TERMS)
            unseen = [1 for i, a in enumerate(TERMS) for b in TERMS[:i]
                      if not any({a, b} <= own for own in placed)]  # fmt: skip
            assert sum(unseen) <= MOST_UNSEEN * 45
    except (AssertionError, UnicodeDecodeError):
        return None
    told = {(person, term): str(place) for (at, person, place), term in places.items()
            if at == id(design) and person in who}  # fmt: skip
    told |= {(person, term): str(place) for (at, person, place), term in places.items()
             if at == id(sorts)}  # fmt: skip
    return shown, grouped(rows), told


def is_id(text):
    return len(text) <= 64 and re.fullmatch(r"[a-z0-9][a-z0-9_-]*", text)


def pile_of(text):
    """Return a pile as it is compared; a fault where it is neither a number nor a short word."""
    if re.fullmatch(r"\d+(\.0*)?", text):
        return str(int(float(text)))
    assert not text or (len(text) <= 64 and re.fullmatch(r"\w[\w .-]*", text))
    assert text.casefold() != "na"
    assert not re.fullmatch(r"[\d.]*\d[\d.]*(e\d+)?", text)
    return text


def table(folder, name, needed):
    """Return a table as mappings; a fault where it is not there once, or lacks a column."""
    there = [folder / f"{name}{ending}" for ending in (".csv", ".xlsx")]
    (path,) = [one for one in there if one.exists()]
    assert path
    if path.suffix == ".xlsx":
        sheet = openpyxl.load_workbook(path).active.iter_rows(values_only=True)
        rows = [["" if cell is None else str(cell) for cell in row] for row in sheet]
    else:
        text = path.read_bytes().decode("utf-8-sig")
        assert text.strip()
        rows = rows_of(text, ";" if text.splitlines()[0].count(";") else ",")
    rows = [[cell.strip() for cell in row] for row in rows]
    head, *body = [row for row in rows if any(row)]
    assert body
    assert all(len(row) == len(head) for row in body)
    assert len(set(head)) == len(head)
    assert {*needed} <= {*head}
    return [dict(zip(head, row, strict=True)) for row in body]


def mutated(chance, rows, layout):
    """Change one of the tables: a row, a cell, a column or all of it."""
    name = chance.choice(["design", "design", "design", "sorts", "sorts", "participants"])
    found = rows[name]
    at = chance.randrange(1, len(found)) if len(found) > 1 else 0
    one, rare = list(found[at]), chance.random() < 0.4
    place = chance.randrange(len(one))
    gone, everywhere = f"p{chance.randrange(8)}", chance.choice([[name], TABLES])
    other, not_shown = (
        "design" if rare else "sorts",
        [f"p{chance.randrange(8)}", f"t{chance.randrange(10)}", ""],
    )
    changes = {
        "drop": lambda: found.pop(at),
        "double": lambda: found.insert(at, list(one)),
        "cell": lambda: found[at].__setitem__(place, chance.choice(CELLS)),
        "another": lambda: found.append([chance.choice(CELLS[2:8]) for _ in found[0]]),
        "shuffle": lambda: found.append(found.pop(at)),
        "column": lambda: [row.pop(place) for row in found if rare],
        "extra": lambda: [row.append("remark" if row is found[0] else "") for row in found],
        "person": lambda: [rows.__setitem__(each, [row for row in rows[each] if row[:1] != [gone]])
                           for each in everywhere],
        "header": lambda: rare and found.__delitem__(slice(1, None)),
        "not shown": lambda: layout == "long" and rows[other].append(not_shown),
    }  # fmt: skip
    changes[chance.choice([*changes, "cell", "cell", "drop"])]()


def refused_in_words(faults, *files):
    """Check what is told of a study that is refused: where, what, and what to do."""
    known = {*files, "study.yaml", "terms.csv", "design.xlsx", "sorts.xlsx"}
    known |= {f"{name}.csv" for name in TABLES}
    for fault in faults:
        assert fault.file.rsplit("/", 1)[-1] in known
        assert fault.problem
        assert fault.remedy
        assert fault.line >= 0
        assert "Traceback" not in f"{fault}"
        assert len(f"{fault}") < 1000


@pytest.mark.parametrize("layout", ["long", "wide"])
@pytest.mark.parametrize("form", FORMS)
def test_every_form_says_the_same(tmp_path, form, layout):
    folder = written(tmp_path / "study", tables(layout), layout, dict.fromkeys(TABLES[:2], form))
    expected = plainly_read(folder, layout)
    assert outcome(folder, tmp_path / "out") == expected
    shown, _, places = expected
    assert len(shown) == len(places) == 8 * 7


@pytest.mark.parametrize("seed", range(320))
def test_a_spoilt_study_is_refused_or_says_what_its_cells_say(tmp_path, seed):
    chance = random.Random(seed)
    layout = "long" if seed % 4 else "wide"
    rows = {name: as_texts(found) for name, found in tables(layout).items()}
    for _ in range(chance.choice([1, 1, 1, 2, 3])):
        mutated(chance, rows, layout)
    forms = {name: chance.choice(FORMS) for name in TABLES[:2]}
    folder = written(tmp_path / "study", rows, layout, forms)
    found, expected = outcome(folder, tmp_path / "out"), plainly_read(folder, layout)
    if expected is None:
        assert isinstance(found[0], Fault), "was read though it has a fault"
        refused_in_words(found)
    else:
        assert found == expected


def cell(line, column, value):
    def change(folder):
        rows = as_texts(tables("long")["design"])
        rows[line - 1][column] = value
        write_rows(folder / "design.csv", rows)

    return change


def raw(data, name="design.csv"):
    return lambda folder: (folder / name).write_bytes(data)


def beside(folder):
    write_form(folder, "design", as_texts(tables("long")["design"]), "sheet")
    write_form(folder, "design", as_texts(tables("long")["design"]), "plain")


def renamed(name):
    return lambda folder: (folder / "design.csv").rename(folder / name)


FILES = {  # what was done to design.csv: the file, line and words that are told
    "both forms": (beside, "design.xlsx", 0, "stands beside design.csv"),
    "empty": (raw(b""), "design.csv", 0, "is empty"),
    "blank lines": (raw(b"\n \n\r\n"), "design.csv", 0, "is empty"),
    "only a header": (raw(b"participant,term\n"), "design.csv", 0, "has a header and no rows"),
    "no header": (raw(b"p0,t3\np0,t4\n"), "design.csv", 1, "the column is missing"),
    "binary": (raw(bytes(range(256))), "design.csv", 1, "holds a NUL byte"),
    "a picture": (raw(b"\x89PNG\r\n\x1a\n" + b"\xff" * 99), "design.csv", 1, "is not UTF-8 text"),
    "UTF-16": (raw("participant,term\n".encode("utf-16")), "design.csv", 0, "is UTF-16 text"),
    "Latin-1": (raw(b"participant,term\np0,caf\xe9\n"), "design.csv", 2, "is not UTF-8 text"),
    "a spreadsheet named so": (raw(b"PK\x03\x04zip"), "design.csv", 0, "is a spreadsheet"),
    "a quotation mark left open": (
        raw(b'participant,term\np0,"t3\np0,t4\n'), "design.csv", 2, "the row can't be read"),
    "a huge cell": (cell(2, 1, "x" * 1_000_000), "design.csv", 2, "is longer than 64 characters"),
    "a long id": (cell(2, 0, "x" * 65), "design.csv", 2, "is longer than 64 characters"),
    "another column": (cell(1, 1, "word"), "design.csv", 1, "the column is missing"),
    "a column in capitals": (cell(1, 0, "Participant"), "design.csv", 1, "is no column of"),
    "a misspelt column": (cell(1, 1, "terms"), "design.csv", 1, "is no column of design.csv"),
    "a position of nothing": (cell(3, 2, "0"), "design.csv", 3, "is no whole number from 1"),
    "a position below": (cell(3, 2, "-2"), "design.csv", 3, "is no whole number from 1"),
    "a position in words": (cell(3, 2, "second"), "design.csv", 3, "is no whole number from 1"),
    "a position twice": (cell(3, 2, "1"), "design.csv", 3, "saw two terms in this position"),
    "a term in capitals": (cell(2, 1, "T3"), "design.csv", 2, "unknown term"),
    "a person in capitals": (cell(2, 0, "P0"), "design.csv", 2, "is no identifier"),
    "a folder": (lambda folder: [(folder / "design.csv").unlink(),
                 (folder / "design.csv").mkdir()], "design.csv", 0, "is no file"),
    "capitals in its name": (renamed("Design.csv"), "Design.csv", 0, "is no file of a study"),
    "a capital ending": (renamed("design.CSV"), "design.CSV", 0, "is no file of a study"),
    "plural": (renamed("designs.csv"), "designs.csv", 0, "is no file of a study"),
}  # fmt: skip


@pytest.mark.parametrize("layout", ["long", "wide"])
@pytest.mark.parametrize("case", FILES)
def test_a_spoilt_file_is_named_with_its_place_and_a_cure(tmp_path, case, layout):
    change, file, line, words = FILES[case]
    folder = written(tmp_path / "study", tables(layout), layout)
    change(folder)
    faults = outcome(folder, tmp_path / "out")
    assert isinstance(faults[0], Fault), "was read though it has a fault"
    refused_in_words(faults, file)
    told = [fault for fault in faults if fault.file.endswith(f"/{file}")]
    assert (line, True) in {(fault.line, words in fault.problem) for fault in told}, told


def test_somebody_of_two_populations_is_refused(tmp_path):
    rows = tables("long")
    rows["participants"].append(["p0", "makers"])
    faults = outcome(written(tmp_path / "study", rows), tmp_path / "out")
    assert [(fault.line, fault.value) for fault in faults] == [(10, "p0")]


def test_who_is_in_the_design_and_did_not_come_changes_nothing(tmp_path):
    rows = tables("long")
    one = outcome(written(tmp_path / "study", rows), tmp_path / "out")
    rows["design"] += [["p99", "t0", "1"], ["p99", "t1", "1"]]
    assert outcome(written(tmp_path / "more", rows), tmp_path / "out more") == one


@pytest.mark.parametrize(("n", "told"), [(0, "was shown 0 term(s)"), (1, "was shown 1 term(s)")])
def test_somebody_who_was_shown_less_than_a_pair_is_refused(tmp_path, n, told):
    rows = tables("long")
    for name in ("design", "sorts"):
        own = [row for row in rows[name] if row[0] == "p2"]
        rows[name] = [row for row in rows[name] if row not in own[n:]]
    faults = outcome(written(tmp_path / "study", rows), tmp_path / "out")
    assert ("p2", True) in {(fault.value, told in fault.problem) for fault in faults}
    assert all(fault.remedy for fault in faults)


@pytest.mark.parametrize("layout", ["long", "wide"])
def test_empty_rows_and_cells_of_what_was_shown_are_not_placed(tmp_path, layout):
    rows = tables(layout)
    rows["sorts"][1][2:] = [""] * len(rows["sorts"][1][2:])
    folder = written(tmp_path / "study", rows, layout)
    shown, piles, _ = outcome(folder, tmp_path / "out")
    assert len(shown) == 8 * 7
    assert sum(len(terms) for person, terms in piles if person == "p0") == (
        6 if layout == "long" else 0
    )
