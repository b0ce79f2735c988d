"""What members are told, as a workbook of one sheet."""

import io
from collections.abc import Sequence

from felloe.editions.members import Told
from felloe.report.languages.language_words import Words
from felloe.report.spreadsheets import CELL_LIMIT, new_workbook

COLUMNS = ("old_word", "became", "place", "why")
WIDTHS = (22, 34, 40, 46)  # in letters of the sheet's own font
A4 = 9  # the format's number


def members_workbook(title: str, told: Sequence[Told], words: Words, marks: Sequence[str]) -> bytes:
    """
    Return the workbook.

    Parameters
    ----------
    title : str
        Stands in the first row, and before it what has to be said of every word.
    told : sequence of Told
        By letter.
    words : Words
    marks : sequence of str

    Returns
    -------
    bytes
        The same for the same words.
    """
    stream = io.BytesIO()
    book = new_workbook(stream, title)
    sheet = book.add_worksheet(words["members.old_word"][:31])
    bold = book.add_format({"bold": True})
    head = book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"})
    wrapped = book.add_format({"text_wrap": True, "valign": "top"})
    above = [*marks, title]
    for row, text in enumerate(above):
        sheet.write_string(row, 0, text, bold)
    first = len(above)
    for column, (key, width) in enumerate(zip(COLUMNS, WIDTHS, strict=True)):
        sheet.set_column(column, column, width)
        sheet.write_string(first, column, words[f"members.{key}"], head)
    for row, one in enumerate(told, start=first + 1):
        for column, text in enumerate((one.word, one.became, one.place, one.why)):
            sheet.write_string(row, column, text[:CELL_LIMIT], wrapped)
    sheet.freeze_panes(first + 1, 1)
    sheet.autofilter(first, 0, first + max(len(told), 1), len(COLUMNS) - 1)
    sheet.repeat_rows(first)
    sheet.set_landscape()
    sheet.set_paper(A4)
    sheet.fit_to_pages(1, 0)
    book.close()
    return stream.getvalue()
