"""The ballot as a spreadsheet: a row for each question, choices as lists to choose from."""

import io
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from felloe.report.ballot.questions import Question
from felloe.report.ballot.rows import BallotRow, ballot_rows
from felloe.report.ballot.sources import Sources
from felloe.report.ballot.wording import Wording
from felloe.report.languages.language_words import Words
from felloe.report.mark_words import marks_told
from felloe.report.spreadsheets import new_workbook
from felloe.tiers.tables import PRICE_WORDS
from felloe.validation.ballot_form import (
    ABOUT,
    ANSWERED,
    CHOICES,
    COLUMNS,
    FORMAT,
    HEAD,
    HIDDEN,
    OWN,
    SHEET,
    Origin,
)
from felloe.validation.intake.raw.characters import cleaned

WIDTHS = {
    "number": 5, "kind": 9, "question": 30, "evidence": 70, "choice": 64, "name": 22, "absorbs": 16,
    "reason": 44, "decided_on": 13, "decided_by": 24,
}  # fmt: skip
PRICES = "prices"
PRICED = ("number", "word", "place", "beside", "people", "then", "now", *PRICE_WORDS)
PRICE_WIDTHS = (9, 20, 44, 20, 16, 16, 16, 16, 16, 16, 16)
FILL, GREY, RULE = "#fff6d6", "#6b726d", "#c9cec9"


def ballot_workbook(questions: Sequence[Question], sources: Sources, words: Words) -> bytes:
    """
    Return the workbook, the same bytes for the same questions.

    Parameters
    ----------
    questions : sequence of Question
    sources : Sources
    words : Words
    """
    stream = io.BytesIO()
    title = words.fill("ballot.title", title=sources.chart["title"])
    book = new_workbook(stream, title)
    rows = ballot_rows(questions, sources, words)
    marks = marks_told(sources.chart, words)
    told = [title, *marks, *Wording(sources, words).in_parts()]
    fill_about(book, book.add_worksheet(ABOUT), sources.origin, told, words)
    sheet = book.add_worksheet(SHEET)
    fill_ballot(book, sheet, rows, sources.origin, words)
    sheet.set_header(f"&L{' '.join([title, *marks])}"[:250].replace("\n", " "))
    sheet.set_footer("&R&P / &N")
    fill_prices(book, book.add_worksheet(PRICES), questions, sources, words)
    fill_choices(book.add_worksheet(CHOICES), rows)
    book.close()
    return stream.getvalue()


def fill_ballot(
    book: Any, sheet: Any, rows: Sequence[BallotRow], origin: Origin, words: Words
) -> None:
    """Fill the sheet of the questions, with lists and a note above each column to be filled."""
    forms = formats(book)
    for column, name in enumerate(COLUMNS):
        hidden = {"hidden": True} if name in HIDDEN else {}
        sheet.set_column(column, column, WIDTHS.get(name, 11), None, hidden)
        sheet.write_string(0, column, head_of(name, words), forms["head"])
        if f"ballot.column.{name}" in words:
            sheet.write_comment(0, column, words[f"ballot.column.{name}"], {"author": ""})
    for at, row in enumerate(rows, 1):
        cells = row.cells(at, origin)
        for column, name in enumerate(COLUMNS):
            needed = name not in ANSWERED or is_needed(name, row.fixed)
            write(sheet, at, column, cells[name], forms[name if needed else "kind"])
        source = f"={CHOICES}!$B${at}:{letters(len(row.choices))}${at}"
        choose_from(sheet, at, "choice", source)
        if row.fixed["kind"] == "name":
            yes = ["no"] if row.fixed["alone"] == "yes" else ["yes", "no"]
            choose_from(sheet, at, "absorbs", yes)
    sheet.freeze_panes(1, 3)
    on_paper(sheet)
    sheet.print_area(0, 0, len(rows), COLUMNS.index(OWN[0]) - 1)
    sheet.protect("", {"format_columns": True, "format_rows": True, "sort": True})


def fill_choices(sheet: Any, rows: Iterable[BallotRow]) -> None:
    """Fill the hidden sheet of the lists to choose from, a row for each question."""
    for at, row in enumerate(rows):
        sheet.write_number(at, 0, at + 1)
        for place, choice in enumerate(row.choices, 1):
            sheet.write_string(at, place, choice)
    sheet.protect()
    sheet.hide()


def on_paper(sheet: Any) -> None:
    """Have a sheet printed as wide as a page, with its heads on each."""
    sheet.set_landscape()
    sheet.set_paper(9)  # A4
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(0)


def head_of(name: str, words: Words) -> str:
    """Return what stands above a column."""
    if name in OWN:
        return words.fill("ballot.head.own", name=name)
    return words[f"ballot.head.{name}"]


def is_needed(name: str, fixed: Mapping[str, str]) -> bool:
    """Return whether a question has something to fill in in a column."""
    if fixed["kind"] == "class":
        return name == "choice"
    if name == "absorbs":
        return fixed["kind"] == "name" and fixed["alone"] == "no"
    return name != "name" or fixed["kind"] == "name"


def choose_from(sheet: Any, row: int, name: str, source: str | list[str]) -> None:
    """Have a cell chosen from a list, which stands in other cells or is given."""
    column = COLUMNS.index(name)
    rule = {"validate": "list", "source": source, "ignore_blank": True}
    sheet.data_validation(row, column, row, column, rule)


def letters(column: int) -> str:
    """Return a column, from 0, as a reference that stays where it is."""
    from xlsxwriter.utility import xl_col_to_name

    return str(xl_col_to_name(column, col_abs=True))


def write(sheet: Any, row: int, column: int, value: str | int, form: Any) -> None:
    """Write a cell as a number or text; an empty one keeps its look."""
    if isinstance(value, int):
        sheet.write_number(row, column, value, form)
    elif value == "":
        sheet.write_blank(row, column, None, form)
    else:
        sheet.write_string(row, column, value, form)


def formats(book: Any) -> dict[str, Any]:
    """Return how cells look, by column."""
    plain = {"valign": "top", "text_wrap": True, "bottom": 1, "bottom_color": RULE}
    open_cell = {**plain, "bg_color": FILL, "locked": False}
    small = book.add_format({**plain, "font_color": GREY, "text_wrap": False})
    answered = book.add_format({**open_cell, "num_format": "@"})
    found = dict.fromkeys(ANSWERED, answered)
    found["decided_on"] = book.add_format({**open_cell, "num_format": "yyyy-mm-dd"})
    known = book.add_format(plain)
    found |= dict.fromkeys(("number", "kind", "evidence"), known)
    found["question"] = book.add_format({**plain, "bold": True})
    found |= dict.fromkeys(OWN, small)
    found["head"] = book.add_format({"bold": True, "bottom": 1, "valign": "top", "text_wrap": True})
    return found


def fill_about(book: Any, sheet: Any, origin: Origin, told: Sequence[str], words: Words) -> None:
    """Fill the sheet that says what the ballot is and what it was made from."""
    wrap = book.add_format({"text_wrap": True, "valign": "top"})
    sheet.set_column(0, 0, 20)
    sheet.set_column(1, 1, 90, wrap)
    lines = [*told, *(words[f"ballot.about.{name}"] for name in ("what", "stay", "costs"))]
    lines += [words["ballot.how_people"], "", words["ballot.about.columns"]]
    lines += [f"{head_of(name, words)}: {words[f'ballot.column.{name}']}" for name in ANSWERED]
    for at, line in enumerate(lines):
        sheet.write_string(at, 1, line, wrap)
    at = len(lines) + 1
    sheet.write_string(at, 1, words["ballot.about.from"], wrap)
    heads = {f"{HEAD}{name}": cleaned(head_of(name, words)) for name in COLUMNS}
    said = {"format": FORMAT, **vars(origin), **heads}
    for place, (name, value) in enumerate(said.items(), at + 1):
        sheet.write_string(place, 0, name)
        sheet.write_string(place, 1, value)
    sheet.protect()


def fill_prices(
    book: Any, sheet: Any, questions: Sequence[Question], sources: Sources, words: Words
) -> None:
    """Fill the sheet that says what every move costs."""
    wrap = {"text_wrap": True, "valign": "top"}
    head = book.add_format({**wrap, "bold": True, "bottom": 1})
    text, share = book.add_format(wrap), book.add_format({**wrap, "num_format": "0.00"})
    change = book.add_format({**wrap, "num_format": "+0.0000;-0.0000;0"})
    for column, (name, width) in enumerate(zip(PRICED, PRICE_WIDTHS, strict=True)):
        sheet.set_column(column, column, width)
        sheet.write_string(0, column, words[f"ballot.price.{name}"], head)
    moves = [(one, option) for one in questions for option in one.options if option.group]
    for at, (one, option) in enumerate(moves, 1):
        sheet.write_number(at, 0, one.number, text)
        told = (sources.label[one.subject], option.place, sources.label[option.term])
        for column, value in enumerate(told, 1):
            sheet.write_string(at, column, value, text)
        prices = [(100 * one, share) for one in option.shares]
        prices += [(one, change) for one in option.changes]
        for column, (price, form) in enumerate(prices, 1 + len(told)):
            if price == price:
                sheet.write_number(at, column, price, form)
    sheet.freeze_panes(1, 4)
    sheet.autofilter(0, 0, len(moves), len(PRICED) - 1)
    on_paper(sheet)
    sheet.protect("", {"autofilter": True, "sort": True})
