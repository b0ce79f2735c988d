"""How the names of groups are set along their arcs, and which stand in a list instead."""

from dataclasses import dataclass, field

from felloe.report.chart import Record, on_ring
from felloe.report.sheet.paper import SMALLEST, STEP, Format, Rings
from felloe.report.sheet.shapes import arc_degrees
from felloe.report.sheet.spoke_fitting import LINE, MIDDLE, line_breaks
from felloe.report.typeface.faces import BOLD, BOLD_ITALIC, ITALIC, PLAIN, Face
from felloe.report.typeface.shaping import Line, Typesetter

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
    The room of a name along an arc, and how its letters look.

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
    face : Face
    """

    first: float
    last: float
    outer: float
    inner: float
    free: float
    largest: float
    face: Face

    @property
    def middle(self) -> float:
        """Degrees."""
        return (self.first + self.last) / 2

    @property
    def inwards(self) -> bool:
        """Whether letters stand with their heads towards the centre."""
        return hangs(self.middle)


@dataclass(frozen=True)
class Block:
    """
    The lines of a name, shaped, the outermost first; lengths in sizes of the type.

    Attributes
    ----------
    lines : tuple of Line
    inwards : bool
    """

    lines: tuple[Line, ...]
    inwards: bool

    @property
    def reach(self) -> tuple[float, float]:
        """How far the ink lies outside the outermost baseline, and inside the innermost."""
        first, last = self.lines[0], self.lines[-1]
        return (first.bottom, last.top) if self.inwards else (first.top, last.bottom)

    @property
    def depth(self) -> float:
        """From the outermost ink to the innermost."""
        return (len(self.lines) - 1) * LINE + sum(self.reach)

    def baselines(self, room: Room, size: float) -> tuple[float, ...]:
        """Return the radii of the baselines that put the ink into the middle of the room."""
        edge = (room.outer + room.inner) / 2 + self.depth * size / 2
        return tuple(edge - (self.reach[0] + at * LINE) * size for at in range(len(self.lines)))

    def fits(self, room: Room, size: float) -> bool:
        """Return whether the ink stays in the room at a size."""
        if self.depth * size > room.outer - room.inner + 1e-9:
            return False
        for line, radius in zip(self.lines, self.baselines(room, size), strict=True):
            # heads towards the centre stand on the shorter arc
            narrow = radius - (line.top if self.inwards else line.bottom) * size
            width = (line.width + TRACKING * len(line.glyphs)) * size + room.free
            if arc_degrees(width, narrow) > room.last - room.first:
                return False
        return True


def fit_name(
    name: str, room: Room, setter: Typesetter
) -> tuple[tuple[str, ...], tuple[float, ...], float] | None:
    """
    Set a name along an arc, as large as it can be.

    Returns
    -------
    (lines, radii of their baselines, size) or None
        Lines from the outermost inwards; None if it has no room at the smallest size.
    """
    best: tuple[float, tuple[str, ...], tuple[float, ...], float] | None = None
    for way in line_breaks(name):
        texts = way[::-1] if room.inwards else way
        block = Block(tuple(setter.line(text, room.face) for text in texts), room.inwards)
        size = largest_size(block, room)
        worth = size * 0.94 ** (len(texts) - 1)
        if size and (best is None or worth > best[0]):
            best = worth, texts, block.baselines(room, size), size
    return best and best[1:]


def largest_size(block: Block, room: Room) -> float:
    """Return the largest size at which a name fits; 0 if it fits at none."""
    size = room.largest
    while size >= SMALLEST - 1e-9:
        if block.fits(room, size):
            return size
        size -= STEP
    return 0.0


def fit_class(
    class_: Record, form: Format, rings: Rings, setter: Typesetter, numbers: Numbers
) -> Name:
    """Set the name of a class inside its felloe."""
    k = form.k
    room = Room(
        class_["start_deg"], class_["end_deg"], rings.tyre - 0.9 * k, rings.felloe + 0.9 * k,
        5.0 * k, form.classes, BOLD_ITALIC if class_["name_is_proposal"] else BOLD,
    )  # fmt: skip
    return _named(class_, room, setter, numbers)


def fit_subclass(
    subclass: Record,
    gaps: tuple[float, float],
    form: Format,
    rings: Rings,
    setter: Typesetter,
    numbers: Numbers,
) -> Name:
    """Set the name of a subclass over its arc; less than half of each gap beside it is its own."""
    more = min(min(gaps) * OF_GAP, 1.2)
    first, last = subclass["start_deg"] - more, subclass["end_deg"] + more
    face = ITALIC if subclass["name_is_proposal"] else PLAIN
    room = Room(first, last, *rings.names, 0.7 * form.k, form.subclasses, face)
    return _named(subclass, room, setter, numbers)


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


def _named(group: Record, room: Room, setter: Typesetter, numbers: Numbers) -> Name:
    name, number = proposal(group), 0
    fitted = fit_name(name, room, setter)
    if fitted is None:
        number = numbers.next(name)
        sign = letters_of(number)
        able = largest_size(Block((setter.line(sign, room.face),), room.inwards), room)
        size = min(room.largest, max(SMALLEST, min(0.7 * room.largest, able)))
        foot = (room.outer + room.inner) / 2 + (MIDDLE if room.inwards else -MIDDLE) * size
        fitted = (sign,), (foot,), size
    return Name(group, *fitted, room.face, room.middle, room.inwards, number)
