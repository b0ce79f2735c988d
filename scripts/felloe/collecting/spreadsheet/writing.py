"""The kit as a spreadsheet: a row for each card, what to read first, the same bytes each time."""

import io
from collections.abc import Sequence
from typing import Any

from felloe.collecting.asked import Asked
from felloe.collecting.spreadsheet.form import (
    COLUMNS,
    FORM,
    HEAD,
    IDENTITY,
    MINUTES,
    OPEN,
    OWN,
    PILE_COLUMNS,
    SHEET,
    row_check,
    whole_check,
)
from felloe.ground.drawing import MUTED, RULE
from felloe.report.cards.lettering import right_to_left
from felloe.report.languages.language_words import Words, interface_words
from felloe.report.spreadsheets import new_workbook

WIDTHS = {"number": 6, "word": 34, "definition": 60, "pile": 10, "unknown": 14, "colour": 16}
PILE_WIDTHS = (10, 12, 70)
FILL = "#fff6d6"
FEWEST_PILES, MOST_PILES = 20, 60  # rows to say what piles are
LINE = 15.0  # points, of a line of text
MOST_FROZEN = 10  # lines above the head that may stay while the cards move
NAMES = ("cards", "piles", "about")
HOW = {
    "sort": ("how_pile", "how_unknown", "how_words", "how_all", "how_save", "only_fill"),
    "colours": ("how_colour", "how_screen", "how_none", "how_save", "only_colour"),
}


def kit_workbook(asked: Asked) -> bytes:
    """
    Return the spreadsheet of one person, the same bytes for the same task.

    Parameters
    ----------
    asked : Asked
        To sort, or to pick colours for.
    """
    words = interface_words(asked.language)
    sorting = asked.identity.kind == "sort"
    stream = io.BytesIO()
    key = "title" if sorting else "colour_title"
    book = new_workbook(stream, words.fill(f"kit.sheet.{key}", title=asked.title))
    names = [name for name in NAMES if sorting or name != "piles"]
    sheets = {name: book.add_worksheet(words[f"kit.sheet.{name}"]) for name in names}
    look = Look(book)
    head = fill_cards(sheets["cards"], asked, words, look)
    if sorting:
        fill_piles(sheets["piles"], asked, words, look, head)
    fill_about(sheets["about"], asked, words, look)
    sheets["about"].activate()
    for sheet in sheets.values():
        on_paper(sheet)
        if asked.cards and right_to_left(asked.cards[0].label):
            sheet.right_to_left()
    book.close()
    return stream.getvalue()


class Look:
    """
    How cells look.

    Parameters
    ----------
    book : Workbook
    """

    def __init__(self, book: Any) -> None:
        plain = {"valign": "vcenter", "bottom": 1, "bottom_color": RULE, "text_wrap": True}
        filled = {**plain, "bg_color": FILL, "locked": False}
        self.book = book
        self.plain = book.add_format(plain)
        self.word = book.add_format({**plain, "bold": True, "font_size": 12})
        self.open = book.add_format({**filled, "align": "center"})
        self.text = book.add_format({**filled, "num_format": "@"})
        # a colour is picked by filling the cell, so it starts without any
        self.colour = book.add_format({**plain, "border": 1, "locked": False, "num_format": "@"})
        self.head = book.add_format({"bold": True, "bottom": 2, "valign": "top", "text_wrap": True})
        self.told = book.add_format({"text_wrap": True, "valign": "top"})
        self.strong = book.add_format({"text_wrap": True, "valign": "top", "bold": True})
        self.title = book.add_format({"text_wrap": True, "bold": True, "font_size": 14})
        self.small = book.add_format({"font_color": MUTED})

    def left(self, told: str) -> Any:
        """Return how a number is told that is followed by a word."""
        quoted = told.replace('"', "'")
        form = {"num_format": f'0 "{quoted}"', "font_color": MUTED, "valign": "top"}
        return self.book.add_format(form)


def columns_of(asked: Asked) -> list[str]:
    """Return the columns of a kit; that of definitions only where some are shown."""
    some = any(card.definition for card in asked.cards)
    return [name for name in COLUMNS[asked.identity.kind] if some or name != "definition"]


def head_of(name: str, words: Words) -> str:
    """Return what stands above a column."""
    return name if name in OWN else words[f"kit.sheet.{name}"]


def fill_cards(sheet: Any, asked: Asked, words: Words, look: Look) -> int:
    """Fill the sheet of the cards; return the row of its head, from 0."""
    columns = columns_of(asked)
    for at, name in enumerate(columns):
        hidden = {"hidden": True} if name in OWN else {}
        sheet.set_column(at, at, WIDTHS.get(name, 11), None, hidden)
    shown = len(columns) - len(OWN)
    width = sum(WIDTHS[name] for name in columns[:shown])
    told = [(asked.instruction, look.strong), (how_in_short(asked, words), look.told)]
    taken = 0
    for row, (text, form) in enumerate(told):
        lines = lines_of(text, width - (0 if row == 0 else 12))
        last = shown - 1 - (row == 1 and asked.identity.kind == "sort")
        sheet.merge_range(row, 0, row, last, "", form)
        sheet.write_string(row, 0, text, form)
        sheet.set_row(row, LINE * lines + 3)
        taken += lines
    head = len(told)
    for at, name in enumerate(columns):
        sheet.write_string(head, at, head_of(name, words), look.head)
    for number, _ in enumerate(asked.cards, 1):
        fill_card(sheet, head + number, number, asked, columns, look)
    if asked.identity.kind == "sort":
        mark_unknown(sheet, head, columns, len(asked.cards), words)
        count_left(sheet, head, columns, len(asked.cards), look.left(words["kit.sheet.left"]))
        sheet.autofilter(head, 0, head + len(asked.cards), shown - 1)
    sheet.freeze_panes(head + 1 if taken <= MOST_FROZEN else 0, 0)
    sheet.repeat_rows(head)
    may = {"autofilter": True, "format_columns": True, "format_rows": True}
    sheet.protect("", {**may, "format_cells": asked.identity.kind == "colours"})
    return head


def fill_card(
    sheet: Any, row: int, number: int, asked: Asked, columns: Sequence[str], look: Look
) -> None:
    """Fill the row of one card."""
    card = asked.cards[number - 1]
    check = row_check(asked.identity, number, card.term, card.label)
    texts = {"word": card.label, "definition": card.definition, "term": card.term, "check": check}
    forms = {"word": look.word, "colour": look.colour, **dict.fromkeys(OWN, look.small)}
    for at, name in enumerate(columns):
        form = look.open if name in ("pile", "unknown") else forms.get(name, look.plain)
        if name == "number":
            sheet.write_number(row, at, number, form)
        elif name in OPEN or not texts[name]:
            sheet.write_blank(row, at, None, form)
        else:
            sheet.write_string(row, at, texts[name], form)


def mark_unknown(sheet: Any, head: int, columns: Sequence[str], cards: int, words: Words) -> None:
    """Have the mark of an unknown word chosen from a list of one."""
    at = columns.index("unknown")
    rule = {"validate": "list", "source": [words["kit.sheet.mark"]], "ignore_blank": True}
    rule["show_error"] = False  # a large X is a mark as well
    sheet.data_validation(head + 1, at, head + cards, at, rule)


def count_left(sheet: Any, head: int, columns: Sequence[str], cards: int, form: Any) -> None:
    """Tell above the head how many cards have neither a pile nor a mark."""
    pile, mark = (cells(head, columns.index(name), cards) for name in ("pile", "unknown"))
    formula = f"={cards}-COUNTA({pile})-COUNTA({mark})"
    sheet.write_formula(head - 1, columns.index("unknown"), formula, form, cards)


def cells(head: int, column: int, cards: int) -> str:
    """Return the cells of a column below the head, as a reference that stays where it is."""
    from xlsxwriter.utility import xl_range_abs

    return str(xl_range_abs(head + 1, column, head + cards, column))


def how_in_short(asked: Asked, words: Words) -> str:
    """Return what to do, in a line or two."""
    keys = HOW[asked.identity.kind]
    return " ".join(said(key, words) for key in keys[:2])


def said(key: str, words: Words) -> str:
    """Return a sentence of what to do, with the names of columns and sheets in it."""
    names = {name: words[f"kit.sheet.{name}"] for name in ("pile", "piles", "colour")}
    return words.fill(f"kit.sheet.{key}", **names)


def lines_of(text: str, width: float) -> int:
    """Return about how many lines a text takes in so many characters."""
    return sum(1 + int(len(line) / max(width * 0.92, 1)) for line in text.split("\n"))


def fill_piles(sheet: Any, asked: Asked, words: Words, look: Look, head: int) -> None:
    """Fill the sheet on which piles are said in words."""
    columns = columns_of(asked)
    name = words["kit.sheet.cards"].replace("'", "''")
    there = f"'{name}'!{cells(head, columns.index('pile'), len(asked.cards))}"
    for at, (column, width) in enumerate(zip(PILE_COLUMNS, PILE_WIDTHS, strict=True)):
        sheet.set_column(at, at, width)
        sheet.write_string(0, at, words[f"kit.sheet.{column}"], look.head)
    rows = min(max(FEWEST_PILES, len(asked.cards)), MOST_PILES)
    for row in range(1, rows + 1):
        sheet.write_number(row, 0, row, look.open)
        sheet.write_formula(row, 1, f"=COUNTIF({there},A{row + 1})", look.plain, 0)
        sheet.write_blank(row, 2, None, look.text)
    sheet.freeze_panes(1, 0)
    sheet.protect("", {"format_columns": True, "format_rows": True})


def fill_about(sheet: Any, asked: Asked, words: Words, look: Look) -> None:
    """Fill the sheet to be read first; at its end stands whose file it is."""
    sheet.set_column(0, 0, 24)
    sheet.set_column(1, 1, 90)
    row = 0
    for heading, text in about_rows(asked, words):
        sheet.write_string(row, 0, heading, look.strong)
        sheet.write_string(row, 1, text, look.title if row == 0 else look.told)
        row += 1
    if asked.identity.kind == "sort" and asked.consent.minutes:
        sheet.write_string(row, 0, words["kit.sheet.minutes"], look.strong)
        sheet.write_blank(row, 1, None, look.text)
        row += 1
    sheet.write_string(row + 1, 1, words["kit.sheet.machine"], look.told)
    for at, (name, text) in enumerate(machine_rows(asked, words), row + 2):
        sheet.write_string(at, 0, name, look.small)
        sheet.write_string(at, 1, text, look.small)
    sheet.protect("", {"format_columns": True, "format_rows": True})


def about_rows(asked: Asked, words: Words) -> list[tuple[str, str]]:
    """Return what a person reads first, each text with what stands before it."""
    participant = asked.identity.participant
    rows = [(words.fill("kit.code", participant=participant), asked.title)]
    rows.append(("", asked.instruction))
    consent = asked.consent
    if consent.given:
        names = ("purpose", "stored", "withdraw", "contact")
        rows += [(words[f"kit.{name}"], getattr(consent, name)) for name in names]
        parts = consent.text.split("\n\n") if consent.text else []
        rows += [(words["kit.rest"] if at == 0 else "", part) for at, part in enumerate(parts)]
    told = (words.fill("kit.no_name", participant=participant), words["kit.not_secret"])
    rows += [("", text) for text in told]
    rows += [("", words["kit.unique"])] if asked.identity.kind == "sort" else []
    rows += [(str(at), said(key, words)) for at, key in enumerate(HOW[asked.identity.kind], 1)]
    return rows


def machine_rows(asked: Asked, words: Words) -> list[tuple[str, str]]:
    """Return what the file says of itself: whose it is, and what its heads mean."""
    identity = asked.identity
    rows = [("form", FORM), *((name, str(getattr(identity, name))) for name in IDENTITY)]
    rows += [("language", asked.language), ("cards", str(len(asked.cards)))]
    names = [name for name in NAMES if identity.kind == "sort" or name == "cards"]
    rows += [(SHEET + name, words[f"kit.sheet.{name}"]) for name in names if name != "about"]
    rows += [(HEAD + name, head_of(name, words)) for name in columns_of(asked)]
    if identity.kind == "sort":
        rows.append((HEAD + "words", words["kit.sheet.words"]))
        rows.append((HEAD + MINUTES, words["kit.sheet.minutes"]))
        rows.append((HEAD + "mark", words["kit.sheet.mark"]))
    rows.append(("check", whole_check(dict(rows))))
    return rows


def on_paper(sheet: Any) -> None:
    """Have a sheet printed on A4, as wide as a page."""
    sheet.set_paper(9)
    sheet.fit_to_pages(1, 0)
    sheet.set_footer("&R&P / &N")
