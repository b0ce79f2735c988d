"""What members are told, as a workbook: the old words, and those that are new."""

import io
from collections.abc import Sequence

from felloe.editions.handing_on.members import Told, told_same
from felloe.report.languages.language_words import Words
from felloe.report.spreadsheets import CELL_LIMIT, NAME_LIMIT, new_workbook

COLUMNS = ("old_word", "became", "place", "why")
WIDTHS = (22, 34, 40, 46)  # in letters of the sheet's own font
A4 = 9  # the format's number


def members_workbook(
    title: str, told: Sequence[Told], new: Sequence[str], words: Words, marks: Sequence[str]
) -> bytes:
    """
    Return the workbook.

    Parameters
    ----------
    title : str
        Stands above the words, and before it what has to be said of every word.
    told : sequence of Told
        By letter.
    new : sequence of str
        Words that have no older one; on a sheet of their own.
    words : Words
    marks : sequence of str

    Returns
    -------
    bytes
        The same for the same words.
    """
    stream = io.BytesIO()
    book = new_workbook(stream, title)
    sheet = book.add_worksheet(words["members.old_words"][:NAME_LIMIT])
    bold = book.add_format({"bold": True})
    head = book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"})
    wrapped = book.add_format({"text_wrap": True, "valign": "top"})
    above = [*marks, title, told_same(told, words)]
    for row, text in enumerate(above):
        sheet.write_string(row, 0, text, bold if text is not above[-1] else None)
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
    sheets = [sheet]
    if new:
        sheets.append(book.add_worksheet(words["members.new_words"][:NAME_LIMIT]))
        sheets[-1].set_column(0, 0, sum(WIDTHS))
        for row, text in enumerate([*marks, title, words["members.new"]]):
            sheets[-1].write_string(row, 0, text, bold)
        for row, text in enumerate(new, start=len(above)):
            sheets[-1].write_string(row, 0, text[:CELL_LIMIT], wrapped)
    for each in sheets:
        each.set_landscape()
        each.set_paper(A4)
        each.fit_to_pages(1, 0)
    book.close()
    return stream.getvalue()
