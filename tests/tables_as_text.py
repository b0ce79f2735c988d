"""Tables as the texts of their cells, read without the code that wrote them."""

import csv


def read_texts(path):
    """Return the rows of a CSV, each a dict of text as it stands in the file."""
    with open(path, encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))
