"""Which class of the newer edition lends its hue to each class of the older one."""

from collections.abc import Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

from felloe.editions.correspondence import MERGED, SPLIT, STAYED
from felloe.ground.drawing import MUTED
from felloe.report.chart import Record, on_ring

NEUTRAL = {"used": "#aeb4b0", "outline": MUTED, "text": "#000000"}  # of a class by itself
HUES = ("used", "outline", "text")


@dataclass(frozen=True)
class Partners:
    """
    Which classes of two editions stand for each other, by their ids.

    Attributes
    ----------
    of_older : dict of str to str
        Older class to the newer one that it became, or that it was merged into.
    of_newer : dict of str to str
        Newer class to the older one that it was, or that it was split from.
    """

    of_older: Mapping[str, str]
    of_newer: Mapping[str, str]


def partners_of(pairs: Sequence[Mapping[str, Any]]) -> Partners:
    """
    Return which classes stand for each other.

    Parameters
    ----------
    pairs : sequence of dict
        `classes` of `comparison.json`.

    Returns
    -------
    Partners
    """
    of_older: dict[str, str] = {}
    of_newer: dict[str, str] = {}
    for pair in pairs:
        if pair["relation"] in (STAYED, MERGED):
            of_older[pair["older"]] = pair["newer"]
        if pair["relation"] in (STAYED, SPLIT):
            of_newer[pair["newer"]] = pair["older"]
    return Partners(of_older, of_newer)


def in_hues_of(older: Record, newer: Record, partners: Partners) -> Record:
    """
    Return the older chart in the hues of the newer one.

    Parameters
    ----------
    older, newer : dict
        `chart.json` of both.
    partners : Partners

    Returns
    -------
    dict
        A copy; a class without counterpart is grey.
    """
    hues = {class_["id"]: class_["colour"] for class_ in newer["classes"]}
    chart = deepcopy(older)
    for class_ in chart["classes"]:
        lent = hues.get(partners.of_older.get(class_["id"], ""), NEUTRAL)
        class_["colour"] |= {name: lent[name] for name in HUES}
    return chart


def alone(chart: Record, partners: Mapping[str, str]) -> list[str]:
    """Return the names of the classes on the ring that have no counterpart."""
    return [
        str(class_["name"]) for class_ in on_ring(chart["classes"]) if class_["id"] not in partners
    ]


def shared_hues(chart: Record, partners: Partners) -> bool:
    """Return whether two classes of the older chart have the hue of one newer class."""
    lent = [
        partners.of_older[class_["id"]]
        for class_ in on_ring(chart["classes"])
        if class_["id"] in partners.of_older
    ]
    return len(lent) > len(set(lent))
