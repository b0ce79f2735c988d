"""What every spreadsheet that is written here keeps to."""

import datetime
from typing import IO, Any

CREATED = datetime.datetime(2000, 1, 1, tzinfo=datetime.UTC)  # fixed, for the same bytes each time
CELL_LIMIT = 32767  # characters in a cell, in the format itself


def new_workbook(stream: IO[bytes], title: str) -> Any:
    """Return an empty workbook in which text stays text, the same bytes for the same content."""
    import xlsxwriter

    as_text = dict.fromkeys(("strings_to_formulas", "strings_to_urls", "strings_to_numbers"), False)
    book = xlsxwriter.Workbook(stream, {"in_memory": True, **as_text})
    book.set_properties({"title": title, "created": CREATED})
    return book
