"""What every spreadsheet that is written here keeps to."""

import datetime

CREATED = datetime.datetime(2000, 1, 1, tzinfo=datetime.UTC)  # fixed, for the same bytes each time
CELL_LIMIT = 32767  # characters in a cell, in the format itself
