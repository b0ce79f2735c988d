"""At how many terms figures and files stop showing every one, and what they show instead."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Limit:
    """
    What is shown up to a size, and what beyond it.

    Attributes
    ----------
    shown : str
        Where, and what.
    most : int
        Up to how many.
    unit : str
        Of what.
    beyond : str
        What stands there of more.
    """

    shown: str
    most: int
    unit: str
    beyond: str


MAP_NAMES = Limit(
    "`figures/map`: the name of every term",
    300,
    "terms",
    "dots in the colours of their classes, which the key names; places in `circle/map.csv`",
)
MATRIX_NAMES = Limit(
    "`figures/matrix`: the name of every row and column",
    182,
    "terms",
    "the names of the classes; terms in the order of the tree",
)
POPULATIONS_NAMES = Limit(
    "`figures/populations`: the name of every row",
    121,
    "terms",
    "ruled classes; terms that differ are listed beside",
)
TREE_NAMES = Limit(
    "`figures/dendrogram`: the name of every term",
    400,
    "terms",
    "the whole tree on a page no taller, its classes named; terms in `tiers/evidence.csv`",
)
SENSITIVITY_ROWS = Limit(
    "`figures/sensitivity`: a bar for every term",
    400,
    "terms",
    "the terms that keep their class least; all in `sensitivity/universes.csv`",
)
OWN_NAMES = Limit(
    "`figures/own_charts`: the name of every term",
    300,
    "terms",
    "classes and subclasses, a dot for every term in another class; `circle/own_charts.csv`",
)
SHEPARD_PAIRS = Limit(
    "`figures/shepard`: a dot for every pair of terms",
    100_000,
    "pairs (447 terms)",
    "every second, third ... pair, from the most to the least similar; all in `circle/shepard.csv`",
)
WORKBOOK_CELLS = Limit(
    "`report/tables.xlsx`: a sheet for every table",
    450_000,
    "cells of a table (a square of 670 terms; pairs of populations of 300)",
    "the first sheet names the table and says that it is left out; the file stays",
)
LIMITS = (
    MAP_NAMES,
    MATRIX_NAMES,
    POPULATIONS_NAMES,
    TREE_NAMES,
    SENSITIVITY_ROWS,
    OWN_NAMES,
    SHEPARD_PAIRS,
    WORKBOOK_CELLS,
)
