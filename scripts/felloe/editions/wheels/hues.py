"""Which class of the newer edition lends its hue to each class of the older one."""

from collections.abc import Callable, Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass
from typing import Any, NamedTuple

from felloe.colours.contrast import text_colour
from felloe.colours.difference import ciede2000
from felloe.colours.vision import seen_labs
from felloe.editions.correspondence import MERGED, SPLIT, STAYED
from felloe.ground.drawing import MUTED, PAPER
from felloe.report.chart import Record

Hue = Mapping[str, Any]  # `used`, `outline` and `text`, whatever else
GREYS = tuple(f"#{level:02x}{level:02x}{level:02x}" for level in range(0x58, 0xE1, 8))
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


class Counterparts(NamedTuple):
    """
    Which of the classes that are drawn stand alone.

    Attributes
    ----------
    only_older, only_newer : list of str
        Names of classes without counterpart.
    shared : bool
        Whether two older classes have the hue of one newer class.
    matched : bool
        Whether any older class has the hue of a newer one.
    """

    only_older: list[str]
    only_newer: list[str]
    shared: bool
    matched: bool


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
    lent = lent_hues(hues_of(newer), partners)
    chart = deepcopy(older)
    for class_ in chart["classes"]:
        hue = lent(class_["id"])
        class_["colour"] |= {name: hue[name] for name in HUES}
    return chart


def hues_of(chart: Record) -> dict[str, Hue]:
    """Return the colours of the classes of a chart."""
    return {class_["id"]: class_["colour"] for class_ in chart["classes"]}


def lent_hues(newer: Mapping[str, Hue], partners: Partners) -> Callable[[str], Hue]:
    """Return what tells the hue of an older class, from those of the newer ones by their ids."""
    grey = grey_beside(newer)
    return lambda class_: newer.get(partners.of_older.get(class_, ""), grey)


def grey_beside(hues: Mapping[str, Hue]) -> Hue:
    """
    Return the grey of a class without counterpart.

    Of all greys the one that stays farthest from each hue and from the paper for normal vision
    and for each colour-vision deficiency: a red or green of its lightness looks grey to some.
    """
    labs = seen_labs([*GREYS, PAPER, *(hue["used"] for hue in hues.values())])
    beside = ciede2000(labs[:, : len(GREYS), None], labs[:, None, len(GREYS) :])
    used = GREYS[int(beside.min(axis=(0, 2)).argmax())]
    return {"used": used, "outline": MUTED, "text": text_colour(used)[0]}


def counterparts(names: Sequence[Mapping[str, str]], partners: Partners) -> Counterparts:
    """Return which classes have none on the other side; `names` of either edition by class."""
    older, newer = names
    lent = [partners.of_older[class_] for class_ in older if class_ in partners.of_older]
    return Counterparts(
        [name for class_, name in older.items() if class_ not in partners.of_older],
        [name for class_, name in newer.items() if class_ not in partners.of_newer],
        shared=len(lent) > len(set(lent)),
        matched=bool(lent),
    )
