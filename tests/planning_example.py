"""A plan of few small studies, and rows and words of it."""

import copy
from pathlib import Path

from felloe.foresight.assumptions import Habits, even_truth
from felloe.foresight.own import Own
from felloe.foresight.plan import Assumed
from felloe.ground.randomness import Streams
from felloe.launching.plan_study.planned import Planned
from felloe.settings import resolve

STREAMS = Streams(7, "brine")
SETTINGS = resolve({})
ASSUMED = Assumed(even_truth(24, 4, 2), Habits(0.5, 0.3), 0.5, 1.0, "average", 0.05, 3)
SIZES = {"people": [10, 20], "each": [10, 24]}
SOURCES = dict.fromkeys(("classes", "subclasses"), "stated") | dict.fromkeys(
    ("coarse", "astray", "smaller_population"), "default"
)

ABOUT = {"pilot": None, "code": "c0de", "sources": SOURCES, "target": 0.9, "margin": 0.7}
OWN = Own(10)


def changed(**assumptions):
    settings = copy.deepcopy(SETTINGS)
    settings["design"]["assumptions"].update(assumptions)
    return settings


def rows_of(sizes):
    """Return rows of a table, of (terms a person, people, reliability of the smaller)."""
    blank = dict.fromkeys(("observers", "reliability", "classes", "subclasses"), 0.5)
    rest = {"moved_terms": None, "moved_most": 80}
    return [
        {**blank, **rest, "terms_each": each, "people": people, "smaller_reliability": reliability,
         "pooling": reliability >= 0.7}
        for each, people, reliability in sizes
    ]  # fmt: skip


def about_of(**more):
    assumed = {"terms": 240, "classes": 9, "subclasses": 27}
    assumed |= {"coarse": 0.5, "astray": 0.3, "smaller": 0.5}
    return {**ABOUT, "studies": 20, "power": 0.8, "study": "brine", "assumed": assumed, **more}


GRID = rows_of([
    (each, people, 0.72 if (each, people) in ((100, 320), (60, 320)) else 0.5)
    for each in (40, 60, 100) for people in (40, 80, 160, 320)
])  # fmt: skip


def planned_brine():
    """Return a study of seven terms before its data."""
    labels = {"makers": "Makers", "panel": "Panel"}
    terms = [f"t{n}" for n in range(7)]
    return Planned("brine", Path("brine"), SETTINGS, labels, terms, {}, {}, None, {}, None)
