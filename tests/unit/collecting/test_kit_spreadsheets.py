"""The spreadsheet of a kit: what it says, and what comes back from it, whatever was done to it."""

import io
import random
import zipfile
from datetime import UTC, datetime

import pytest
from felloe.collecting.asked import Card, Consent
from felloe.collecting.spreadsheet.reading import identity_of, read_spreadsheet
from felloe.collecting.spreadsheet.writing import kit_workbook
from kit_example import LABELS, asked_of
from openpyxl import load_workbook
from openpyxl.styles import PatternFill
from openpyxl.styles.colors import Color

FIRST = 4  # row of the first card
PILE, UNKNOWN, COLOUR = "C", "D", "C"


def book_of(asked):
    return load_workbook(io.BytesIO(kit_workbook(asked)))


@pytest.fixture
def back(tmp_path):
    """Save a workbook as a person would, and read it."""

    def read(book):
        path = tmp_path / "back.xlsx"
        book.save(path)
        return read_spreadsheet(path, "back.xlsx")

    return read


def filled(**piles):
    """Return a kit with the piles of some terms typed in; `x` marks an unknown word."""
    book = book_of(asked_of())
    for row, term in enumerate(LABELS, FIRST):
        value = piles.get(term)
        book["cards"][f"{UNKNOWN if value == 'x' else PILE}{row}"] = value
    return book


def minutes_of(book):
    """Return the cell in which a person notes the minutes."""
    rows = book["read first"].iter_rows(max_col=2)
    return next(row[1] for row in rows if str(row[0].value).startswith("Minutes"))


def problems(found):
    returned, faults = found
    assert returned == []
    assert all(fault.severity == "error" for fault in faults)
    return [fault.problem for fault in faults]


def test_the_same_task_gives_the_same_bytes_without_a_day_or_a_name():
    data = kit_workbook(asked_of())
    assert data == kit_workbook(asked_of())
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert {part.date_time[0] for part in archive.infolist()} == {1980}
        core = archive.read("docProps/core.xml").decode()
    assert "2000-01-01" in core
    assert "<dc:creator></dc:creator>" in core


def test_it_says_instruction_consent_and_code_word_for_word():
    asked = asked_of(instruction="Put <i> together\nwhat belongs.", participant="p7")
    book = book_of(asked)
    told = {cell.value for row in book["read first"].iter_rows() for cell in row}
    consent = asked.consent
    assert {asked.instruction, consent.purpose, consent.stored, consent.withdraw} <= told
    assert {consent.contact, consent.text, "Your code: p7"} <= told
    assert book.active.title == "read first"
    assert book["cards"]["A1"].value == asked.instruction


def test_without_a_consent_text_none_is_told():
    book = book_of(asked_of(consent=Consent(False)))
    told = [cell.value for row in book["read first"].iter_rows() for cell in row]
    assert "How to withdraw" not in told
    assert not any(str(text).startswith("Minutes") for text in told if text in told[:20])


def test_the_cards_stand_in_their_order_and_only_answers_may_be_typed():
    labels = dict(reversed(LABELS.items()))
    sheet = book_of(asked_of(labels=labels))["cards"]
    rows = list(sheet.iter_rows(min_row=FIRST))
    assert [row[1].value for row in rows] == list(labels.values())
    assert [row[0].value for row in rows] == list(range(1, 1 + len(labels)))
    assert sheet.protection.sheet
    for row in rows:
        assert [cell.protection.locked for cell in row[:4]] == [True, True, False, False]


def test_definitions_have_a_column_only_where_some_are_shown():
    cards = tuple(Card(term, label, "A taste.") for term, label in LABELS.items())
    assert book_of(asked_of(cards=cards))["cards"]["C3"].value == "Definition"
    assert book_of(asked_of())["cards"]["C3"].value == "Pile"


def test_words_that_look_like_formulas_stay_text():
    labels = {"brine": "=1+1", "dill": "@x", "smoke": "http://a.b"}
    sheet = book_of(asked_of(labels=labels, title="=x", instruction="=y"))["cards"]
    assert [sheet[f"B{row}"].data_type for row in range(FIRST, FIRST + 3)] == ["s"] * 3
    assert sheet["A1"].data_type == "s"


def test_what_was_filled_in_comes_back(back):
    book = filled(brine=1, crisp="1", dill=2.0, garlic="sweet", smoke="x")
    book["piles"]["C2"] = "salty things"
    minutes_of(book).value = 12.5
    (found,), faults = back(book)
    assert faults == []
    assert found.identity == asked_of().identity
    assert [(pile.terms, pile.words) for pile in found.piles] == [
        (("brine", "crisp"), "salty things"),
        (("dill",), ""),
        (("garlic",), "sweet"),  # a pile that was given a word has been named
    ]
    assert found.unknown == ("smoke",)
    assert found.unplaced == ("lactic",)
    assert found.minutes == 12.5
    assert found.saved > datetime(2020, 1, 1, tzinfo=UTC)  # openpyxl writes when it saves


def test_a_question_mark_for_a_pile_is_an_unknown_word_and_capitals_are_no_other_pile(back):
    (found,), _ = back(filled(brine="?", crisp="A", dill="a ", garlic="a"))
    assert found.unknown == ("brine",)
    assert [pile.terms for pile in found.piles] == [("crisp", "dill", "garlic")]


def test_rows_may_be_sorted_whole_and_filtered(back):
    book = filled(brine=1, crisp=2, dill=1, garlic=2, lactic=1, smoke=2)
    expected = back(book)
    sheet = book["cards"]
    rows = [[cell.value for cell in row] for row in sheet.iter_rows(min_row=FIRST)]
    for row, values in enumerate(reversed(rows), FIRST):
        for column, value in enumerate(values, 1):
            sheet.cell(row, column).value = value
    sheet.row_dimensions[FIRST].hidden = True
    (found,), (was,) = back(book)[0], expected[0]
    assert found.piles == was.piles


@pytest.mark.parametrize("kind", ["sort", "colours"])
def test_a_file_as_it_was_issued_is_not_filled_in(tmp_path, kind):
    (tmp_path / "a.xlsx").write_bytes(kit_workbook(asked_of(kind)))
    returned, (fault,) = read_spreadsheet(tmp_path / "a.xlsx", "a.xlsx")
    assert returned == []
    assert fault.severity == "warning"
    assert "nobody filled it in" in fault.problem


def test_a_saved_file_without_answers_is_an_answer_that_lacks_everything(back):
    (found,), faults = back(filled())
    assert (found.piles, found.unplaced, faults) == ((), tuple(LABELS), [])


def test_sheets_may_be_renamed_and_moved(back):
    book = filled(brine=1, crisp="X")
    book["piles"]["C2"] = "salty"
    book.move_sheet("cards", 2)
    for sheet in book:
        sheet.title = f"{sheet.title} - Table 1"
    (found,), faults = back(book)
    assert faults == []
    assert [pile.words for pile in found.piles] == ["salty", ""]


def put(sheet, cell, value):
    return lambda book: book[sheet].__setitem__(cell, value)


BAD = {
    "another word": (put("cards", "B5", "Other"), "number or word of this row"),
    "another number": (put("cards", "A5", 3), "number or word of this row"),
    "another term": (put("cards", "E5", "smoke"), "number or word of this row"),
    "a row deleted": (lambda book: book["cards"].delete_rows(5), "cards 2 are not there"),
    "a column deleted": (lambda book: book["cards"].delete_cols(3), "column is not there"),
    "the head deleted": (lambda book: book["cards"].delete_rows(3), "the line above them"),
    "a formula": (put("cards", "C5", "=C4"), "is a formula"),
    "a date": (put("cards", "C5", datetime(2026, 2, 1)), "is a date"),
    "a truth value": (put("cards", "C5", True), "is a truth value"),
    "half a pile": (put("cards", "C5", 1.5), "no whole number"),
    "two piles": (put("cards", "C5", "1,2"), "no whole number"),
    "n/a": (put("cards", "C5", "NA"), "missing value"),
    "a dash": (put("cards", "C5", "-"), "missing value"),
    "a long pile": (put("cards", "C5", "a" * 300), "has 300 characters"),
    "a mark that is none": (put("cards", "D5", "maybe"), "is no mark"),
    "pile and mark": (put("cards", "D4", "x"), "both a pile and the mark"),
    "merged": (lambda book: book["cards"].merge_cells("C6:C8"), "merged cells"),
    "a sheet gone": (lambda book: book.remove(book["piles"]), "sheet on which piles are named"),
    "the cards gone": (lambda book: book.remove(book["cards"]), "sheet of the cards"),
    "what it is, gone": (lambda book: book.remove(book["read first"]), "no spreadsheet of a kit"),
    "minutes": (lambda book: setattr(minutes_of(book), "value", "an hour"), "no number of minutes"),
    "long words": (put("piles", "C2", "a" * 300), "has 300 characters"),
}


@pytest.mark.parametrize("name", BAD)
def test_what_nobody_can_read_is_named_with_a_cure(back, name):
    change, problem = BAD[name]
    book = filled(brine=1, crisp=2)
    change(book)
    returned, faults = back(book)
    assert returned == []
    assert any(problem in fault.problem for fault in faults), faults
    assert all(fault.remedy for fault in faults if fault.severity == "error")


@pytest.mark.parametrize("name", ["study", "edition", "participant", "terms", "cards", "kind"])
def test_a_file_that_says_it_is_of_something_else_is_refused(back, name):
    book = filled(brine=1)
    sheet = book["read first"]
    (row,) = [row for row in sheet.iter_rows() if row[0].value == name]
    row[1].value = {"cards": "7", "kind": "colours"}.get(name, "p2")
    assert any("was changed" in problem for problem in problems(back(book)))


def test_a_row_of_another_persons_kit_is_refused(back):
    book, other = filled(brine=1), book_of(asked_of(participant="p2"))
    for column in "ABCDEF":
        book["cards"][f"{column}4"] = other["cards"][f"{column}4"].value
    assert ["number or word" in problem for problem in problems(back(book))] == [True]


def test_words_for_a_pile_without_cards_are_said_and_left_out(back):
    book = filled(brine=1)
    book["piles"]["C3"] = "lonely"
    (found,), (fault,) = back(book)
    assert [pile.words for pile in found.piles] == [""]
    assert fault.severity == "warning"
    assert "lonely" in fault.problem


@pytest.mark.parametrize("data", [b"", b"PK\x03\x04", b"<html>", b"\0" * 4000])
def test_what_is_no_spreadsheet_is_one_fault(tmp_path, data):
    (tmp_path / "a.xlsx").write_bytes(data)
    (problem,) = problems(read_spreadsheet(tmp_path / "a.xlsx", "a.xlsx"))
    assert "can't be opened" in problem


def test_a_spreadsheet_of_something_else_is_one_fault(tmp_path):
    from openpyxl import Workbook

    book = Workbook()
    book.active.append(["form", "felloe-sheet-9"])
    book.save(tmp_path / "a.xlsx")
    (problem,) = problems(read_spreadsheet(tmp_path / "a.xlsx", "a.xlsx"))
    assert "no spreadsheet of a kit" in problem


def test_a_file_without_a_day_was_saved_at_a_time_that_nobody_knows(tmp_path, back):
    back(filled(brine=1))
    with (
        zipfile.ZipFile(tmp_path / "back.xlsx") as old,
        zipfile.ZipFile(tmp_path / "bare.xlsx", "w") as new,
    ):
        for name in old.namelist():
            if name != "docProps/core.xml":
                new.writestr(name, old.read(name))
    (found,), _ = read_spreadsheet(tmp_path / "bare.xlsx", "bare.xlsx")
    assert found.saved is None


def changed_at_random(rng, book):
    """Change one cell of one sheet in one of a few ways."""
    sheet = book[rng.choice(book.sheetnames)]
    row, column = rng.randint(1, sheet.max_row), rng.randint(1, sheet.max_column)
    way = rng.randrange(6)
    if way == 0:
        sheet.delete_rows(row)
    elif way == 1:
        sheet.delete_cols(column)
    elif way == 2:
        sheet.insert_rows(row)
    else:
        merged = {cell for block in sheet.merged_cells.ranges for cell in block.cells}
        if (row, column) not in merged:
            values = ["", "p2", 3, 1.5, "=A1", "\u202e", "?", "x", True, "a" * 400, None, "#ff0000"]
            sheet.cell(row, column).value = rng.choice(values)


@pytest.mark.parametrize("seed", range(40))
def test_a_damaged_file_gives_the_same_answer_or_says_why(back, seed):
    rng = random.Random(seed)
    book = filled(brine=1, crisp=2, dill=1, garlic="x", lactic=2, smoke=1)
    changed_at_random(rng, book)
    cells = [
        (book["cards"].cell(row, column).value)
        for row in range(FIRST, FIRST + 6) for column in (3, 4)
    ]  # fmt: skip
    returned, faults = back(book)
    assert bool(returned) != any(fault.severity == "error" for fault in faults)
    if returned and cells == [1, None, 2, None, 1, None, None, "x", 2, None, 1, None]:
        piles = {pile.terms for pile in returned[0].piles}
        assert piles == {("brine", "dill", "smoke"), ("crisp", "lactic")}
        assert returned[0].unknown == ("garlic",)
    for one in returned:
        assert one.identity == asked_of().identity
        placed = [term for pile in one.piles for term in pile.terms]
        assert sorted([*placed, *one.unknown, *one.unplaced]) == sorted(LABELS)


def test_colours_are_typed_or_given_to_the_cell(back):
    book = book_of(asked_of("colours"))
    sheet = book["cards"]
    sheet["C4"] = "#8FBC8F"
    sheet["C5"] = "0af"
    sheet["C6"].fill = PatternFill("solid", fgColor="FF336699")
    sheet["C7"].fill = PatternFill("solid", fgColor=Color(theme=5))
    sheet["C8"].fill = PatternFill("solid", fgColor=Color(theme=1, tint=0.5))
    (found,), faults = back(book)
    assert faults == []
    assert found.picks == {
        "brine": "#8fbc8f",
        "crisp": "#00aaff",
        "dill": "#336699",
        "garlic": "#c0504d",  # the second accent of the theme that openpyxl writes
        "lactic": "#808080",  # half way from black to white: ECMA-376, 18.8.19
    }
    assert found.unplaced == ("smoke",)
    assert not found.piles + found.unknown


@pytest.mark.parametrize(
    ("value", "fill", "problem"),
    [
        ("red", None, "is no colour"),
        ("#12345", None, "is no colour"),
        ("#ff0000", PatternFill("solid", fgColor="FF00FF00"), "another colour"),
        (None, PatternFill("lightGrid", fgColor="FF00FF00"), "pattern"),
    ],
)
def test_a_colour_that_is_none_is_named(back, value, fill, problem):
    book = book_of(asked_of("colours"))
    book["cards"]["C4"] = value
    if fill:
        book["cards"]["C4"].fill = fill
    assert [problem in each for each in problems(back(book))] == [True]


def test_german_heads_are_read_too(back):
    book = book_of(asked_of(language="de"))
    book["Karten"]["C4"] = 1
    (found,), faults = back(book)
    assert faults == []
    assert [pile.terms for pile in found.piles] == [("brine",)]


def test_whose_a_file_is_can_be_told_though_its_answers_cannot_be_read(tmp_path, back):
    (tmp_path / "a.xlsx").write_bytes(kit_workbook(asked_of()))
    assert identity_of(tmp_path / "a.xlsx") == asked_of().identity
    book = filled()
    book["cards"]["C5"] = "=C4"
    assert back(book)[0] == []
    assert identity_of(tmp_path / "back.xlsx") == asked_of().identity
    (tmp_path / "a.xlsx").write_bytes(b"PK")
    assert identity_of(tmp_path / "a.xlsx") is None
