"""Whose sorts the tree is made from, for the page and the figure that show it."""

from collections.abc import Mapping
from typing import Any


def whose_tree(chart: Mapping[str, Any], labels: Mapping[str, str]) -> str:
    """
    Say whose sorts the tree is made from, and how they weigh.

    Parameters
    ----------
    chart : mapping
        The record of `comparison/chart.json`.
    labels : mapping of str to str
        Of the populations.

    Returns
    -------
    str
    """
    if chart["source"] != "pooled":
        whose = f"{labels[chart['source']]} alone"
        return f"The tree is made from the sorts of {whose}; every participant weighs the same."
    equal = chart["weights"] == "equal"
    weighs = "population weighs the same, however many people it has" if equal else (
        "participant weighs the same"
    )  # fmt: skip
    return f"The tree is made from the sorts of all participants; every {weighs}."
