"""The measures of two wheels on one sheet, and where everything stands."""

from collections.abc import Container, Sequence
from dataclasses import dataclass, replace

from felloe.editions.wheels.lanes import bearing
from felloe.ground.drawing import POINT_MM
from felloe.report.chart import Record, chart_terms, on_ring
from felloe.report.sheet.name_fitting import Numbers, fit_class, is_lone
from felloe.report.sheet.paper import A4, SMALLEST, Format, rings_of
from felloe.report.sheet.plan import Plan
from felloe.report.sheet.spoke_fitting import Word, fit_words, middle_of
from felloe.report.typeface.faces import PLAIN
from felloe.report.typeface.shaping import Typesetter

WIDTH = 420.0  # of A3 on its side
MARGIN = 5.0
HEAD = 17.0  # over the wheels
FOOT = 7.0  # under them, to the key
CLEAR = 3.0  # from the rim to the first lane
APART = 1.3  # between two lanes, at the most
MOST_ROOM = 14.0  # for all lanes round a wheel
FAN = 8.0  # between a wheel and the labels at the least, where they are nearest
BESIDE = 2.5  # of that, from the last lane to the labels
LEAST_GAP = 14.0  # between two wheels without labels
MOST_LABEL = 46.0
LABEL = 8.5 * POINT_MM
START = 1.2  # from the rim to where a line begins
ALL, MARKED, NONE = "all", "marked", "none"  # which terms are written
Bearings = Sequence[float | None]


@dataclass(frozen=True)
class Planned:
    """
    Two wheels before they are drawn.

    Attributes
    ----------
    plans : sequence of Plan
    written : {"all", "marked", "none"}
        Which terms are written.
    numbered : sequence of (int, str)
        Names of classes that have no room on the rim.
    """

    plans: Sequence[Plan]
    written: str
    numbered: Sequence[tuple[int, str]]


@dataclass(frozen=True)
class Form:
    """
    Where two wheels stand, millimetres from the upper left corner.

    Attributes
    ----------
    radius : float
    foot : float
        Where the key begins; the sheet's width is that of A3 on its side.
    centres : ((float, float), (float, float))
    label : float
        Width of the column of labels.
    lanes : float
        Between two lanes.
    """

    radius: float
    foot: float
    centres: tuple[tuple[float, float], tuple[float, float]]
    label: float
    lanes: float

    @property
    def wheel(self) -> Format:
        """The measures of either wheel, its own centre the origin."""
        return replace(
            A4, name="pair", width=WIDTH, height=self.foot, centre=(0.0, 0.0),
            radius=self.radius, felloe=9.4, tyre=1.7, name_depth=0.0, rim=2.6, dot=0.95, hub=0.2,
            tree=0.3, words=10.5 * POINT_MM, classes=13 * POINT_MM, note=9 * POINT_MM,
            key=9 * POINT_MM, margin=MARGIN,
        )  # fmt: skip


def form_of(label: float, around: int) -> Form:
    """
    Return where two wheels stand, as large as they can be.

    Parameters
    ----------
    label : float
        Width of the widest label between them; 0 for none.
    around : int
        Lines at the most that go round one side of one wheel.
    """
    apart = min(APART, (MOST_ROOM - CLEAR) / max(around, 1))
    room = CLEAR + apart * around if around else 1.0
    # lanes that pass between a wheel and the labels need as much room there
    gap = label + 2 * max(FAN, room + BESIDE) if label else LEAST_GAP
    radius = (WIDTH - 2 * MARGIN - 2 * room - gap) / 4
    top = HEAD + room + radius
    left = MARGIN + room + radius
    foot = top + radius + room + FOOT
    return Form(radius, foot, ((left, top), (WIDTH - left, top)), label, apart)


def far_side(sides: Sequence[Bearings]) -> int:
    """Return how many lines may go round one side of one wheel at the most."""
    over = [sum(one is not None and one < -45.0 for one in side) for side in sides]
    below = [sum(one is not None and one > 45.0 for one in side) for side in sides]
    return max([0, *over, *below])


def compact(form: Format) -> Format:
    """Return a wheel's measures with narrower rings, so that more and longer words have room."""
    return replace(
        form, felloe=6.4, tyre=1.1, name_depth=-0.9, rim=1.7, dot=0.65, hub=0.15, clear=0.0
    )


def plan_wheels(
    charts: Sequence[Record], marked: Sequence[Container[str]], form: Format, setter: Typesetter
) -> Planned:
    """
    Lay out two wheels alike: with all their words, or with as many as there is room for.

    Parameters
    ----------
    charts : (dict, dict)
    marked : (container of str, container of str)
        Terms of either that are written where not all can be.
    form : Format
    setter : Typesetter

    Returns
    -------
    Planned
    """
    tight = compact(form)
    some = [only(chart, terms) for chart, terms in zip(charts, marked, strict=True)]
    bare = replace(tight, worded=False)
    for shape, written, told in ((form, ALL, charts), (tight, ALL, charts), (tight, MARKED, some)):
        found = [fit_words(chart, shape, rings_of(shape), setter) for chart in told]
        words = [each for each in found if not isinstance(each, list)]
        if len(words) == len(found):
            return laid_out(charts, words, shape, written, setter)
    return laid_out(charts, [(), ()], bare, NONE, setter)


def only(chart: Record, terms: Container[str]) -> Record:
    """Return a chart of some of its terms, each in its place."""
    return {
        "classes": [
            class_
            | {
                "subclasses": [
                    part | {"terms": [term for term in part["terms"] if term["id"] in terms]}
                    for part in class_["subclasses"]
                ]
            }
            for class_ in chart["classes"]
        ]
    }


def laid_out(
    charts: Sequence[Record],
    words: Sequence[Sequence[Word]],
    form: Format,
    written: str,
    setter: Typesetter,
) -> Planned:
    """Return the plans of two wheels of which some words are set."""
    numbers, rings, plans = Numbers(), rings_of(form), []
    for chart, found in zip(charts, words, strict=True):
        by_term = {word.entry["id"]: word for word in found}
        entries = [(class_, term) for class_, _, term in chart_terms(chart)]
        every = tuple(
            by_term.get(term["id"])
            or Word(term, class_, middle_of(term), (), SMALLEST, PLAIN, rings.word)
            for class_, term in entries
        )
        classes = {
            class_["id"]: fit_class(class_, form, rings, setter, numbers)
            for class_ in on_ring(chart["classes"])
            if not is_lone(class_)
        }
        leaf = min([word.inner for word in every], default=rings.word) - 1.0
        plans.append(Plan(form, rings, leaf, every, classes, {}))
    return Planned(plans, written, tuple(numbers.given))


def bearings_of(middles: dict[str, float], terms: Sequence[str], facing: float) -> Bearings:
    """Return how far each term lies from the other wheel; None for those off the ring."""
    return [bearing(middles[term], facing) if term in middles else None for term in terms]
