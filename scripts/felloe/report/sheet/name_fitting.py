"""How the names of groups are set along their arcs, and which stand in a list instead."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from felloe.report.chart import Record, on_ring
from felloe.report.sheet.paper import SMALLEST, STEP, Format, Rings
from felloe.report.sheet.shapes import arc_degrees
from felloe.report.sheet.spoke_fitting import LINE, MIDDLE, line_breaks
from felloe.report.typeface.faces import BOLD, BOLD_ITALIC, ITALIC, PLAIN, Face
from felloe.report.typeface.shaping import Typesetter

TRACKING = 0.012  # between letters on an arc, in sizes of the type
OF_GAP = 0.4  # of the gap on each side that the name of a subclass may use


@dataclass(frozen=True)
class Name:
    """
    The name of a group as it is set along its arc.

    Attributes
    ----------
    entry : Record
    lines : tuple of str
        Outermost first, whichever way they are read; a letter where the name has no room.
    radii : tuple of float
        Of the baselines.
    size : float
    face : Face
    middle : float
    inwards : bool
    number : int
        Of the name in the list beside the wheel, where it stands under a letter; 0 for none.
    """

    entry: Record
    lines: tuple[str, ...]
    radii: tuple[float, ...]
    size: float
    face: Face
    middle: float
    inwards: bool
    number: int = 0


@dataclass
class Numbers:
    """Hands out numbers for names that have no room."""

    given: list[tuple[int, str]] = field(default_factory=list)

    def next(self, name: str) -> int:
        self.given.append((len(self.given) + 1, name))
        return len(self.given)


def gaps_before(chart: Record) -> dict[str, float]:
    """Return the gap before each subclass, degrees, by its id."""
    ring = on_ring([part for class_ in chart["classes"] for part in class_["subclasses"]])
    return {
        here["id"]: before["gap_after_deg"] or 0.0
        for before, here in zip(ring[-1:] + ring[:-1], ring, strict=True)
    }


def is_lone(class_: Record) -> bool:
    """Return whether a class has one term on the ring and no name but that term's."""
    on_ring = [term for subclass in class_["subclasses"] for term in subclass["terms"]]
    return len(on_ring) == 1 and (
        class_["name_is_proposal"] or class_["name"] == on_ring[0]["label"]
    )


def has_name(subclass: Record, class_: Record) -> bool:
    """
    Return whether the name of a subclass is set: not that of a lone term over itself.

    Nor that of a subclass that is all of its class and has no name of its own.
    """
    if subclass["start_deg"] is None or is_lone(class_):
        return False
    if len(subclass["terms"]) == 1 and subclass["name_is_proposal"]:
        return False
    whole = len(on_ring(class_["subclasses"])) == 1
    return not (whole and (subclass["name_is_proposal"] or subclass["name"] == class_["name"]))


def hangs(middle: float) -> bool:
    """Return whether a name at this place stands with its head towards the centre."""
    return 90.0 < middle % 360.0 < 270.0


@dataclass(frozen=True)
class Room:
    """
    The room of a name along an arc.

    Attributes
    ----------
    first, last : float
        Degrees.
    outer, inner : float
        Radii.
    free : float
        Kept free at both ends together, in millimetres.
    largest : float
        Size of the type.
    """

    first: float
    last: float
    outer: float
    inner: float
    free: float
    largest: float

    @property
    def middle(self) -> float:
        """Degrees."""
        return (self.first + self.last) / 2


def fit_name(
    name: str, face: Face, room: Room, setter: Typesetter
) -> tuple[tuple[str, ...], tuple[float, ...], float] | None:
    """
    Set a name along an arc, as large as it can be.

    Returns
    -------
    (lines, radii of their baselines, size) or None
        Lines from the outermost inwards; None if it has no room at the smallest size.
    """
    inwards = hangs(room.middle)
    best = None
    for ways in line_breaks(name):
        lines = ways[::-1] if inwards else ways
        size = _largest(lines, face, room, setter, inwards)
        worth = size * 0.94 ** (len(lines) - 1)
        if size >= SMALLEST - 1e-9 and (best is None or worth > best[0]):
            best = worth, lines, size
    if best is None:
        return None
    _, lines, size = best
    return lines, _baselines(lines, face, room, setter, inwards, size), size


def _largest(
    lines: Sequence[str], face: Face, room: Room, setter: Typesetter, inwards: bool
) -> float:
    size = room.largest
    while size >= SMALLEST - 1e-9:
        radii = _baselines(lines, face, room, setter, inwards, size)
        if all(
            _holds(text, face, radius, room, setter, inwards, size)
            for text, radius in zip(lines, radii, strict=True)
        ) and _deep_enough(lines, face, radii, room, setter, inwards, size):
            return size
        size -= STEP
    return 0.0


def _baselines(
    lines: Sequence[str], face: Face, room: Room, setter: Typesetter, inwards: bool, size: float
) -> tuple[float, ...]:
    """Return the radii of the baselines that put the lines' ink into the middle of the room."""
    shaped = [setter.line(text, face) for text in lines]
    if inwards:  # the outermost line's foot is outermost
        out, into = shaped[0].bottom, shaped[-1].top
    else:
        out, into = shaped[0].top, shaped[-1].bottom
    spread = (len(lines) - 1) * LINE
    middle = (room.outer + room.inner) / 2
    top = middle + (spread + out + into) * size / 2
    return tuple(top - (out + at * LINE) * size for at in range(len(lines)))


def _holds(
    text: str, face: Face, radius: float, room: Room, setter: Typesetter, inwards: bool, size: float
) -> bool:
    line = setter.line(text, face)
    # heads towards the centre stand on the shorter arc
    narrow = radius - (line.top if inwards else line.bottom) * size
    width = (line.width + TRACKING * len(line.glyphs)) * size + room.free
    return arc_degrees(width, narrow) <= room.last - room.first


def _deep_enough(
    lines: Sequence[str],
    face: Face,
    radii: Sequence[float],
    room: Room,
    setter: Typesetter,
    inwards: bool,
    size: float,
) -> bool:
    first, last = setter.line(lines[0], face), setter.line(lines[-1], face)
    outer = radii[0] + (first.bottom if inwards else first.top) * size
    inner = radii[-1] - (last.top if inwards else last.bottom) * size
    return outer <= room.outer + 1e-9 and inner >= room.inner - 1e-9


def fit_class(
    class_: Record, form: Format, rings: Rings, setter: Typesetter, numbers: Numbers
) -> Name:
    """Set the name of a class inside its felloe."""
    k = form.k
    room = Room(
        class_["start_deg"], class_["end_deg"], rings.tyre - 0.9 * k, rings.felloe + 0.9 * k,
        5.0 * k, form.classes,
    )  # fmt: skip
    face = BOLD_ITALIC if class_["name_is_proposal"] else BOLD
    return _named(class_, proposal(class_), face, room, setter, numbers)


def fit_subclass(
    subclass: Record,
    gaps: tuple[float, float],
    form: Format,
    rings: Rings,
    setter: Typesetter,
    numbers: Numbers,
) -> Name:
    """Set the name of a subclass over its arc; less than half of each gap beside it is its own."""
    k = form.k
    more = min(min(gaps) * OF_GAP, 1.2)
    first, last = subclass["start_deg"] - more, subclass["end_deg"] + more
    room = Room(first, last, *rings.names, 0.7 * k, form.subclasses)
    face = ITALIC if subclass["name_is_proposal"] else PLAIN
    return _named(subclass, proposal(subclass), face, room, setter, numbers)


def proposal(group: Record) -> str:
    """Return a name, with a question mark if nobody has given it yet."""
    return f"{group['name']}?" if group["name_is_proposal"] else str(group["name"])


def letters_of(number: int) -> str:
    """Return the sign under which a name stands beside the wheel: a, b, …, z, aa, ab, …"""
    sign = ""
    while number > 0:
        number, letter = divmod(number - 1, 26)
        sign = chr(ord("a") + letter) + sign
    return sign


def _named(
    group: Record, name: str, face: Face, room: Room, setter: Typesetter, numbers: Numbers
) -> Name:
    fitted = fit_name(name, face, room, setter)
    inwards, number = hangs(room.middle), 0
    if fitted is None:
        number = numbers.next(name)
        sign = letters_of(number)
        size = min(room.largest, max(SMALLEST, 0.7 * room.largest))
        at = (room.outer + room.inner) / 2 + (MIDDLE if inwards else -MIDDLE) * size
        fitted = (sign,), (at,), size
    return Name(group, *fitted, face, room.middle, inwards, number)
