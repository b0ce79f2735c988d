"""Spreadsheets of the kit, filled in and damaged at random, are gathered as they say or refused."""

import io
import random
import re
import zipfile

import pytest
from openpyxl import load_workbook
from return_examples import STUDY, answer, issued_sheet, order_of, put
from study_folder import bytes_of
from tables_as_text import read_texts
from typed_words import gather

PERSON, OTHER = "p1", "p2"
NAME = f"{STUDY}-{PERSON}.xlsx"
PILES = ("1", "1", "2", "2", "2", "3")  # of the cards in their order
ODD = ["", "1", "2", " 2 ", "x", "?", 3, 2.5, "=1+1", "2026-01-01", "dill", "p2", None, True]
MUTANTS, IN_ONE = 60, 20


@pytest.fixture
def folder(folder):
    put(folder, "other.json", answer(OTHER))
    return folder


def places(book):
    """Return the sheet of the cards, the columns of term and pile, and the rows of the cards."""
    for sheet in book:
        for row in sheet.iter_rows():
            heads = {str(cell.value).casefold(): cell.column for cell in row if cell.value}
            if "term" in heads and "pile" in heads:
                below = range(row[0].row + 1, row[0].row + 1 + len(PILES))
                return sheet, heads["term"], heads["pile"], list(below)
    raise AssertionError("no sheet of cards")


def filled():
    book = load_workbook(io.BytesIO(issued_sheet(PERSON)))
    sheet, _, pile, rows = places(book)
    for row, text in zip(rows, PILES, strict=True):
        sheet.cell(row, pile).value = text
    return book


def sorted_by(folder, person):
    """Return the piles of a person as sets of terms."""
    piles = {}
    for row in read_texts(folder / "sorts.csv"):
        if row["participant"] == person and row["pile"]:
            piles.setdefault(row["pile"], set()).add(row["term"])
    return {frozenset(terms) for terms in piles.values()}


def seen_in(path):
    """Return the piles that somebody sees who reads the file cell by cell."""
    piles = {}
    sheet, term, pile, rows = places(load_workbook(path))
    for row in range(rows[0], sheet.max_row + 1):
        text = str(sheet.cell(row, pile).value or "").strip().removesuffix(".0")
        if sheet.cell(row, term).value and text not in ("", "?"):
            piles.setdefault(text, set()).add(sheet.cell(row, term).value)
    return {frozenset(terms) for terms in piles.values()}


def test_a_spreadsheet_is_gathered_as_it_was_filled_in(folder):
    filled().save(folder / "returns" / NAME)
    assert gather() == 0
    terms = order_of(PERSON)
    expected = {frozenset(terms[:2]), frozenset(terms[2:5]), frozenset(terms[5:])}
    assert sorted_by(folder, PERSON) == expected


def test_one_that_nobody_filled_in_is_said_and_counts_as_no_answer(folder, capsys):
    (folder / "returns" / NAME).write_bytes(issued_sheet(PERSON))
    assert gather() == 0
    said = capsys.readouterr().out
    assert f"{NAME}: is as it was sent" in said
    assert PERSON in said.split("No sort yet")[1]


def mutate(book, number):
    """Change one cell, or move, double or drop a row."""
    choose = random.Random(number)
    sheet, term, pile, rows = places(book)
    row, what = choose.choice(rows), choose.choice(("pile", "pile", "cell", "drop", "swap", "copy"))
    if what == "pile":
        sheet.cell(row, pile).value = choose.choice(ODD)
    elif what == "cell":
        sheet.cell(row, choose.randint(1, sheet.max_column)).value = choose.choice(ODD)
    elif what == "drop":
        sheet.delete_rows(row)
    elif what == "swap":
        column, other = choose.choice((term, pile)), choose.choice(rows)
        one, two = sheet.cell(row, column), sheet.cell(other, column)
        one.value, two.value = two.value, one.value
    else:
        for column in range(1, sheet.max_column + 1):
            sheet.cell(rows[-1] + 1, column).value = sheet.cell(row, column).value


@pytest.mark.parametrize("start", range(0, MUTANTS, IN_ONE))
def test_a_damaged_one_is_refused_by_name_or_gathered_as_it_is_seen(folder, capsys, start):
    assert gather() == 0
    path = folder / "returns" / NAME
    for number in range(start, start + IN_ONE):
        book = filled()
        mutate(book, number)
        book.save(path)
        capsys.readouterr()
        before = bytes_of(folder)
        status, told = gather(), capsys.readouterr()
        assert "Traceback" not in told.err, number
        if status:
            after = bytes_of(folder)
            assert after == before, number
            assert NAME in told.err, number
        elif f"{PERSON} (" not in told.out:  # else listed as incomplete, with its file
            assert sorted_by(folder, PERSON) == seen_in(path), number


def save_odd(folder, change):
    book = filled()
    change(*places(book)[::2], places(book)[3], book)
    book.save(folder / "returns" / NAME)


def copy_cards(sheet, pile, rows, book):
    other = book.copy_worksheet(sheet)
    other.cell(rows[0], pile).value = "3"


def type_all(*texts):
    def change(sheet, pile, rows, book):
        for row, text in zip(rows, texts, strict=True):
            sheet.cell(row, pile).value = text

    return change


def rename_head(sheet, pile, rows, book):
    for row in book["read first"].iter_rows():
        if row[0].value == "head.unknown":
            row[0].value = "head.other"


REFUSED = {
    "two sheets of cards": (copy_cards, "has 2 sheets with the same heads"),
    "two piles in a cell": (type_all("1", "1", "2", "2", "2", "1/2"), "'1/2': is no number of one"),
    "two piles in words": (type_all("1", "1", "2", "2", "2", "1 or 2"), "is no number of one pile"),
    "a doubt": (type_all("1", "1", "2", "2", "2", "3?"), "is no number of one pile"),
    "what a head means": (rename_head, "what it says of itself"),
}


@pytest.mark.parametrize(("change", "told"), REFUSED.values(), ids=REFUSED)
def test_what_could_be_read_in_two_ways_is_refused(folder, capsys, change, told):
    save_odd(folder, change)
    assert gather() == 1
    assert told in capsys.readouterr().err


def test_blanks_within_the_name_of_a_pile_make_no_pile_of_its_own(folder):
    texts = ("wet hay", "wet  hay", "wet\u00a0hay", "Wet hay", "60s", "60s")
    save_odd(folder, type_all(*texts))
    assert gather() == 0
    terms = order_of(PERSON)
    assert sorted_by(folder, PERSON) == {frozenset(terms[:4]), frozenset(terms[4:])}


def test_lines_within_a_cell_of_words_are_words_of_their_own(folder):
    def change(sheet, pile, rows, book):
        book["piles"].cell(2, 3).value = "fresh\nvery green"

    save_odd(folder, change)
    assert gather() == 0
    assert ",fresh; very green\n" in (folder / "pile_words.csv").read_text("utf-8")


def rewritten(path, name, change):
    """Change one part of a spreadsheet as it lies in the file."""
    with zipfile.ZipFile(path) as archive:
        parts = {each: archive.read(each) for each in archive.namelist()}
    parts[name] = change(parts[name])
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for each, data in parts.items():
            archive.writestr(each, data)


def test_rows_out_of_order_are_not_lost_unsaid(folder, capsys):
    def change(sheet, pile, rows, book):
        book["piles"].cell(4, 3).value = "fresh"  # the row of pile 3

    def swapped(data):
        found = re.findall(rb"<row .*?</row>", data, re.DOTALL)
        return data.replace(found[3], b"").replace(found[5], found[5] + found[3])

    save_odd(folder, change)
    rewritten(folder / "returns" / NAME, "xl/worksheets/sheet2.xml", swapped)
    assert gather() == 1
    assert "'piles': rows of this sheet are out of order" in capsys.readouterr().err


def test_one_that_is_too_large_is_not_asked_for_as_a_table(folder, capsys):
    filled().save(folder / "returns" / NAME)
    rewritten(folder / "returns" / NAME, "xl/worksheets/sheet3.xml", lambda _: b"0" * (5 << 20))
    assert gather() == 1
    said = capsys.readouterr().err
    assert "unpacks to" in said
    assert "CSV" not in said
