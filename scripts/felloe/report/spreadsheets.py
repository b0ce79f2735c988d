"""What every spreadsheet that is written here keeps to."""

from typing import IO, Any

from felloe.ground.files.writing import UNDATED

CELL_LIMIT = 32767  # characters in a cell, in the format itself
NAME_LIMIT = 31  # of a sheet's name, in the format itself


def new_workbook(stream: IO[bytes], title: str) -> Any:
    """Return an empty workbook in which text stays text, the same bytes for the same content."""
    import xlsxwriter

    as_text = dict.fromkeys(("strings_to_formulas", "strings_to_urls", "strings_to_numbers"), False)
    book = xlsxwriter.Workbook(stream, {"in_memory": True, **as_text})
    book.set_properties({"title": title, "created": UNDATED})
    return book
