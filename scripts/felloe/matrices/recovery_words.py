"""Where a study of partial sorts lies among simulated ones, in words."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from felloe.ground.files.numbers import percent
from felloe.ground.people.sorts import POOLED
from felloe.matrices.observers import charted_observers
from felloe.matrices.recovery import (
    ASTRAY,
    Place,
    Simulated,
    Studied,
    kinds_like,
    outside,
    where_it_lies,
)

Record = Mapping[str, Any]

BACK = 0.9  # adjusted Rand index from which groups are said to come back; rule of thumb, no source
COUNT = (
    "How many people stand behind the tree? In the median {median:g}{whose} placed both terms of a "
    "pair. "
    "But pairs that few people placed blur a tree more than well placed ones mend it{equal}. So "
    "this study counts as one in which {effective:.1f} people placed every pair: with so many the "
    "distances would be as noisy as they are (harmonic mean of people + 1, less 1)."
)
CHARTED = " of the charted population"
EQUAL = ", and the populations weigh the same, so that the one of fewest people sets the noise"
HEAD = (
    "Studies with about as many were simulated: {terms} terms in {classes} classes of {subclasses} "
    "subclasses, {each} before each person, {below} people at every pair. What came back of the "
    "groups that they were made from hangs on care: on how many of their terms people put into a "
    "pile at random (astray). The table has the adjusted Rand index with these groups, mean of "
    "{runs} studies of each size."
)
CAPTION = "What came back of the groups in simulated studies with {below} people at every pair."
CAUTION = (
    "Which row holds for this study nobody knows: how many terms went astray cannot be seen, and "
    "how well people agree does not tell. The invented people know clear classes of equal size, so "
    "read the table as the most to hope for. From people invented in other ways, classes came back "
    "at 0.8 to 1 and subclasses at 0.6 to 0.9 in the mean with a dozen people a pair, and hardly "
    "better with more (DEVELOPERS.md)."
)
OUTSIDE = (
    "What such a study gives back of people's groups cannot be told from the simulated ones. It "
    "lies outside them: {reasons}. Nothing is drawn out beyond their ends."
)
REASONS = {
    "terms": "{0:g} terms, for {1:g} to {2:g}",
    "classes": "{0:g} classes, for {1:g} to {2:g}",
    "terms_a_class": "{0:.1f} terms a class, for {1:g} to {2:g}",
    "terms_each": "{0:g} terms before each person, for {1:g} to {2:g}",
    "prior": "matrices.prior of {0:g}, for {1:g} to {2:g}",
    "effective": "{0:.2f} people at every pair, for {1:.2f} to {2:.2f}",
}
FOLLOWS = (
    "Simulated studies with no more people a pair gave back classes {classes} of the terms went "
    "astray, and subclasses {subclasses} did ({back:g} and more in the table). {end}"
)
UP_TO = "where up to {astray}"
NOT_EVEN = "not even where {astray}"
ENOUGH = "A group without support is hardly for want of people."
MORE = "Take groups with their supports, and where those are weak ask more people."
UNKNOWN = "Judge the groups of this study by their supports alone."


@dataclass(frozen=True)
class Told:
    """
    What the report says of a study's place on the table.

    Attributes
    ----------
    count : str
        Which number of people a pair the study is held against the table by.
    before, after : str
        What stands around the table.
    caption : str
    rows : list of (str, str, str)
        Share astray, classes, subclasses; none where the study lies outside.
    follows : str
    """

    count: str
    before: str
    caption: str
    rows: list[tuple[str, str, str]]
    after: str
    follows: str


def studied(observed: Record, charted: Record, terms: int, classes: int, each: float) -> Studied:
    """
    Return what the table is asked of a study.

    Parameters
    ----------
    observed, charted : mapping
        `matrices/observers.json` and `comparison/chart.json`.
    terms, classes : int
        Of the chart.
    each : float
        Terms shown to each person, in the median.
    """
    populations = observed["populations"]
    effective = charted_observers(populations, charted["source"], charted["weights"])
    return Studied(terms, classes, each, observed["prior"], effective)


def told(one: Studied, observed: Record, charted: Record, simulated: Iterable[Simulated]) -> Told:
    """
    Return where a study lies on the table of simulated studies, and what follows.

    Parameters
    ----------
    one : Studied
    observed, charted : mapping
        As for `studied`.
    simulated : iterable of Simulated
        As `recovery_tables.simulated_studies` returns them.
    """
    equal = charted["source"] == POOLED and charted["weights"] == "equal"
    median = observed["populations"][charted["source"]]["median"]
    count = COUNT.format(
        median=median,
        whose="" if charted["source"] == POOLED else CHARTED,
        effective=one.effective,
        equal=EQUAL if equal else "",
    )
    kinds = kinds_like(one, simulated)
    beyond = outside(one, kinds[ASTRAY[0]])
    if beyond:
        reasons = "; ".join(REASONS[name].format(*found) for name, found in beyond.items())
        return Told(count, OUTSIDE.format(reasons=reasons), "", [], "", UNKNOWN)
    places = {astray: where_it_lies(one.effective, kind) for astray, kind in kinds.items()}
    like = places[ASTRAY[0]].below
    between = " and ".join(f"{each.effective:.1f}" for each in ends(places[ASTRAY[0]]))
    head = HEAD.format(
        terms=like.terms,
        classes=like.classes,
        subclasses=like.subclasses // like.classes,
        each=like.terms_each,
        runs=like.runs,
        below=between,
    )
    rows = [row_of(astray, place) for astray, place in places.items()]
    return Told(count, head, CAPTION.format(below=between), rows, CAUTION, follows(places))


def row_of(astray: float, place: Place) -> tuple[str, str, str]:
    """Return a row of the table: what the nearest sizes of simulated studies gave back."""
    classes = sorted(one.class_rand for one in ends(place))
    subclasses = sorted(one.subclass_rand for one in ends(place))
    return (
        percent(astray),
        span([f"{one:.2f}" for one in classes]),
        span([f"{one:.2f}" for one in subclasses]),
    )


def ends(place: Place) -> list[Simulated]:
    """Return the nearest simulated studies, one where the study lies on them."""
    return list(dict.fromkeys((place.below, place.above)))


def span(ends: Sequence[str]) -> str:
    """Return a range, or the one number that it is."""
    return " to ".join(dict.fromkeys(ends))


def follows(places: Mapping[float, Place]) -> str:
    """Return up to which share astray the simulated studies with no more people gave back."""
    classes = up_to({astray: place.below.class_rand for astray, place in places.items()})
    subclasses = up_to({astray: place.below.subclass_rand for astray, place in places.items()})
    most = UP_TO.format(astray=percent(max(places)))
    return FOLLOWS.format(
        classes=classes,
        subclasses=subclasses,
        back=BACK,
        end=ENOUGH if classes == subclasses == most else MORE,
    )


def up_to(found: Mapping[float, float]) -> str:
    """Return up to which share astray groups came back."""
    back = None
    for astray, index in sorted(found.items()):
        if index < BACK:
            break
        back = astray
    return (
        NOT_EVEN.format(astray=percent(min(found)))
        if back is None
        else UP_TO.format(astray=percent(back))
    )
