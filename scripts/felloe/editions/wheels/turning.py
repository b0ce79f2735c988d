"""
How far the older wheel is turned to lie as the newer one.

A published wheel is turned to lie as that of the first edition that it is compared with; beside any
other edition the two may lie as they like.
"""

from collections.abc import Mapping
from copy import deepcopy

import numpy as np

from felloe.circle.ring.gaps import FULL
from felloe.circle.ring.pose import mean_displacement
from felloe.report.chart import Record, chart_terms

# degrees of mean displacement from which a turn is worth that a wheel is not as published; the
# published one starts between two terms, so it never lies quite as well as it could
WORTH = 15.0


def best_turn(older: Mapping[str, float], newer: Mapping[str, float]) -> int:
    """
    Return by how many degrees, clockwise, the older wheel is turned.

    Parameters
    ----------
    older, newer : dict of str to float
        Degrees of the common terms, by the same ids.

    Returns
    -------
    int
        The turn of least mean displacement, the smallest of those; 0 where it gains less than
        `WORTH`, and where no term is common.
    """
    terms = sorted(older.keys() & newer.keys())
    if not terms:
        return 0
    before, after = (np.array([side[term] for term in terms]) for side in (older, newer))
    means = mean_displacement(before + np.arange(FULL)[:, None], after)
    turn = int(means.argmin())
    return turn if means[0] - means[turn] >= WORTH else 0


def turned(chart: Record, by: float) -> Record:
    """Return a chart turned by some degrees; what is told of its tree stays."""
    if not by:
        return chart
    chart = deepcopy(chart)
    parts = [part for class_ in chart["classes"] for part in class_["subclasses"]]
    terms = [term for _, _, term in chart_terms(chart)]
    for entry in (*chart["classes"], *parts, *terms):
        if entry["start_deg"] is not None:
            wide = entry["end_deg"] - entry["start_deg"]
            entry["start_deg"] = (entry["start_deg"] + by) % FULL
            entry["end_deg"] = entry["start_deg"] + wide
    return chart
