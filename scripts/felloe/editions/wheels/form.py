"""The measures of two wheels on one sheet, and where everything stands."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from felloe.editions.wheels.lanes import bearing
from felloe.ground.drawing import POINT_MM
from felloe.report.chart import Record, on_ring
from felloe.report.sheet.name_fitting import Name, Numbers, fit_class, is_lone
from felloe.report.sheet.paper import A4, Format, rings_of
from felloe.report.sheet.plan import Plan
from felloe.report.sheet.spoke_fitting import fit_words
from felloe.report.typeface.shaping import Typesetter

WIDTH = 420.0  # of A3 on its side
MARGIN = 6.0
HEAD = 17.0  # over the wheels
FOOT = 34.0  # under them, for the key
CLEAR = 3.0  # from the rim to the first lane
APART = 1.3  # between two lanes, at the most
MOST_ROOM = 11.0  # for all lanes round a wheel
FAN = 8.0  # between a wheel and the labels, where they are nearest
LEAST_GAP = 14.0  # between two wheels without labels
MOST_LABEL = 46.0
LABEL = 8.5 * POINT_MM
START = 1.2  # from the rim to where a line begins
Bearings = Sequence[float | None]


@dataclass(frozen=True)
class Form:
    """
    Where two wheels stand, millimetres from the upper left corner.

    Attributes
    ----------
    radius : float
    height : float
        Of the sheet; its width is that of A3 on its side.
    centres : ((float, float), (float, float))
    label : float
        Width of the column of labels.
    lanes : float
        Between two lanes.
    """

    radius: float
    height: float
    centres: tuple[tuple[float, float], tuple[float, float]]
    label: float
    lanes: float

    @property
    def wheel(self) -> Format:
        """The measures of either wheel, its own centre the origin."""
        return replace(
            A4, name="pair", width=WIDTH, height=self.height, centre=(0.0, 0.0),
            radius=self.radius, felloe=9.4, tyre=1.7, name_depth=0.0, rim=2.6, dot=0.95, hub=0.2,
            tree=0.3, words=10.5 * POINT_MM, classes=13 * POINT_MM, note=8 * POINT_MM,
            key=8 * POINT_MM, margin=MARGIN,
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
    gap = label + 2 * FAN if label else LEAST_GAP
    radius = (WIDTH - 2 * MARGIN - 2 * room - gap) / 4
    top = HEAD + room + radius
    left = MARGIN + room + radius
    height = top + radius + room + FOOT
    return Form(radius, height, ((left, top), (WIDTH - left, top)), label, apart)


def far_side(sides: Sequence[Bearings]) -> int:
    """Return how many lines may go round one side of one wheel at the most."""
    over = [sum(one is not None and one < -45.0 for one in side) for side in sides]
    below = [sum(one is not None and one > 45.0 for one in side) for side in sides]
    return max([0, *over, *below])


def plan_wheel(chart: Record, form: Format, setter: Typesetter, numbers: Numbers) -> Plan:
    """Lay out a wheel with its classes and terms alone; without words where they have no room."""
    rings = rings_of(form)
    words = fit_words(chart, form, rings, setter)
    if isinstance(words, list):
        form = replace(form, worded=False)
        words = fit_words(chart, form, rings, setter)
    if isinstance(words, list):
        raise AssertionError("a wheel without words has room")
    classes: dict[str, Name] = {
        class_["id"]: fit_class(class_, form, rings, setter, numbers)
        for class_ in on_ring(chart["classes"])
        if not is_lone(class_)
    }
    leaf = min([word.inner for word in words], default=rings.word) - 1.0
    return Plan(form, rings, leaf, words, classes, {})


def bearings_of(middles: dict[str, float], terms: Sequence[str], facing: float) -> Bearings:
    """Return how far each term lies from the other wheel; None for those off the ring."""
    return [bearing(middles[term], facing) if term in middles else None for term in terms]
