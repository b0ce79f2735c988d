"""Where everything stands on a sheet and how large it is set, before anything is drawn."""

from dataclasses import dataclass, replace
from math import pi

from felloe.report.chart import Record, on_ring
from felloe.report.sheet.name_fitting import (
    Name,
    Numbers,
    fit_class,
    fit_subclass,
    gaps_before,
    has_name,
    is_lone,
)
from felloe.report.sheet.paper import Format, Rings, rings_of
from felloe.report.sheet.spoke_fitting import TooSmall, Word, fit_words
from felloe.report.typeface.shaping import Typesetter

BRANCH = 0.3  # of the room of a term at the tips of the tree that its branch takes at the most


@dataclass(frozen=True)
class Plan:
    """
    A sheet before it is drawn.

    Attributes
    ----------
    form : Format
    rings : Rings
    leaf : float
        Radius of the tree's tips.
    words : tuple of Word
        In order around the circle.
    classes, subclasses : dict of str to Name
        By id; without those that have no name of their own.
    numbered : tuple of (int, str)
        Names that stand beside the wheel.
    """

    form: Format
    rings: Rings
    leaf: float
    words: tuple[Word, ...]
    classes: dict[str, Name]
    subclasses: dict[str, Name]
    numbered: tuple[tuple[int, str], ...] = ()


def plan_sheet(chart: Record, form: Format, setter: Typesetter) -> Plan | list[TooSmall]:
    """
    Lay out a chart.

    Parameters
    ----------
    chart : dict
        `chart.json`.
    form : Format
    setter : Typesetter

    Returns
    -------
    Plan or list of TooSmall
        The latter if terms cannot be set in `SMALLEST` or larger.
    """
    rings = rings_of(form)
    words = fit_words(chart, form, rings, setter)
    if isinstance(words, list):
        return words
    numbers = Numbers()
    classes: dict[str, Name] = {}
    subclasses: dict[str, Name] = {}
    before = gaps_before(chart)
    for class_ in on_ring(chart["classes"]):
        if not is_lone(class_):
            classes[class_["id"]] = fit_class(class_, form, rings, setter, numbers)
        for subclass in class_["subclasses"]:
            if has_name(subclass, class_):
                free = before[subclass["id"]], subclass["gap_after_deg"] or 0.0
                subclasses[subclass["id"]] = fit_subclass(
                    subclass, free, form, rings, setter, numbers
                )
    innermost = min(word.inner for word in words)
    leaf = min(form.tree * form.radius, innermost - 2.0 * form.k)
    form = replace(form, branch=min(form.branch, BRANCH * 2 * pi * leaf / len(words)))
    return Plan(form, rings, leaf, words, classes, subclasses, tuple(numbers.given))
