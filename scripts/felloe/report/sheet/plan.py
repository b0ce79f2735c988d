"""Where everything stands on a sheet and how large it is set, before anything is drawn."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import combinations, pairwise
from math import radians, tan

from felloe.report.chart import Record, chart_terms
from felloe.report.sheet.shapes import POINT, arc_degrees
from felloe.report.typeface.faces import BOLD, BOLD_ITALIC, ITALIC, PLAIN, Face
from felloe.report.typeface.shaping import Typesetter

SMALLEST = 6.0 * POINT  # of anything on a sheet
STEP = 0.25 * POINT
LINE = 1.14  # from baseline to baseline, in sizes of the type
MIDDLE = 0.34  # of small letters with their risers, over the baseline
TRACKING = 0.012  # between letters on an arc, in sizes of the type
MOST_LINES = 3
OF_GAP = 0.4  # of the gap on each side that the name of a subclass may use


@dataclass(frozen=True)
class Format:
    """
    A size of paper with its measures, in millimetres.

    Attributes
    ----------
    name : str
    width, height : float
    centre : (float, float)
        Of the wheel, from the upper left corner.
    radius : float
        Of the rim's outer edge.
    felloe, tyre : float
        Depth of a class's arc, and of its outer band.
    name_depth : float
        Room for the names of subclasses.
    rim : float
        Depth of the evidence.
    dot : float
        Radius of a picked colour.
    hub : float
        Least radius of the tree, as a share of `radius`.
    tree : float
        Its largest radius, likewise.
    words, classes, subclasses : float
        Largest size of the type of terms, and of names.
    title, note, key : float
        Sizes of the type beside the wheel.
    hairline, branch : float
        Widths of lines.
    margin : float
    clear : float
        Kept free between two words, in sizes of the type.
    """

    name: str
    width: float
    height: float
    centre: tuple[float, float]
    radius: float
    felloe: float
    tyre: float
    name_depth: float
    rim: float
    dot: float
    hub: float
    tree: float
    words: float
    classes: float
    subclasses: float
    title: float
    note: float
    key: float
    hairline: float
    branch: float
    margin: float
    clear: float


A3 = Format(
    name="a3", width=297.0, height=420.0, centre=(148.5, 199.0), radius=139.0, felloe=16.0,
    tyre=2.8, name_depth=9.6, rim=4.4, dot=1.25, hub=0.26, tree=0.43, words=13.5 * POINT,
    classes=22 * POINT, subclasses=10.5 * POINT, title=27 * POINT, note=10 * POINT,
    key=8.6 * POINT, hairline=0.16, branch=0.34, margin=14.0, clear=0.14,
)  # fmt: skip
A4 = Format(
    name="a4", width=210.0, height=297.0, centre=(105.0, 139.5), radius=100.0, felloe=10.2,
    tyre=1.8, name_depth=6.7, rim=2.6, dot=0.9, hub=0.25, tree=0.42, words=9.5 * POINT,
    classes=15.5 * POINT, subclasses=7.6 * POINT, title=19 * POINT, note=7.5 * POINT,
    key=6.4 * POINT, hairline=0.13, branch=0.26, margin=10.0, clear=0.05,
)  # fmt: skip
FORMATS = {"a3": A3, "a4": A4}


@dataclass(frozen=True)
class Rings:
    """
    Radii of a sheet, from the rim inwards.

    Attributes
    ----------
    outer, tyre, felloe : float
        Of the rim: outer edge, inner edge of the band, inner edge of the classes.
    names : (float, float)
        Outer and inner edge of the room of the names of subclasses.
    subclass : float
        Their arcs.
    rim : (float, float)
        Outer and inner edge of the evidence.
    dot : float
        Middle of the picked colours.
    word : float
        Outer end of the terms.
    """

    outer: float
    tyre: float
    felloe: float
    names: tuple[float, float]
    subclass: float
    rim: tuple[float, float]
    dot: float
    word: float


def rings_of(form: Format) -> Rings:
    """Return the radii of a sheet."""
    k = form.radius / A3.radius
    felloe = form.radius - form.felloe
    names = felloe - 0.9 * k, felloe - 0.9 * k - form.name_depth
    subclass = names[1] - 0.5 * k
    rim = subclass - 1.1 * k, subclass - 1.1 * k - form.rim
    dot = rim[1] - 1.0 * k - form.dot
    return Rings(
        form.radius, form.radius - form.tyre, felloe, names, subclass, rim, dot,
        dot - form.dot - 1.2 * k,
    )  # fmt: skip


@dataclass(frozen=True)
class Word:
    """
    A term as it is set.

    Attributes
    ----------
    entry, class_ : Record
        Of the chart.
    middle : float
        Degrees.
    lines : tuple of str
    size : float
    face : Face
    inner : float
        Radius at which its longest line ends.
    """

    entry: Record
    class_: Record
    middle: float
    lines: tuple[str, ...]
    size: float
    face: Face
    inner: float


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


@dataclass(frozen=True)
class TooSmall:
    """A term that cannot be set at the smallest size, and why."""

    label: str
    why: str


@dataclass
class _Numbers:
    """Hands out numbers for names that have no room."""

    given: list[tuple[int, str]] = field(default_factory=list)

    def next(self, name: str) -> int:
        self.given.append((len(self.given) + 1, name))
        return len(self.given)


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
    numbers = _Numbers()
    classes: dict[str, Name] = {}
    subclasses: dict[str, Name] = {}
    before = gaps_before(chart)
    for class_ in chart["classes"]:
        if class_["start_deg"] is None:
            continue
        if not is_lone(class_):
            classes[class_["id"]] = fit_class(class_, form, rings, setter, numbers)
        for subclass in class_["subclasses"]:
            if has_name(subclass, class_):
                free = before[subclass["id"]], subclass["gap_after_deg"] or 0.0
                subclasses[subclass["id"]] = fit_subclass(
                    subclass, free, form, rings, setter, numbers
                )
    innermost = min(word.inner for word in words)
    leaf = min(form.tree * form.radius, innermost - 2.0 * form.radius / A3.radius)
    return Plan(form, rings, leaf, words, classes, subclasses, tuple(numbers.given))


def gaps_before(chart: Record) -> dict[str, float]:
    """Return the gap before each subclass, degrees, by its id."""
    ring = [
        subclass
        for class_ in chart["classes"]
        for subclass in class_["subclasses"]
        if subclass["start_deg"] is not None
    ]
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
    whole = sum(1 for each in class_["subclasses"] if each["start_deg"] is not None) == 1
    return not (whole and (subclass["name_is_proposal"] or subclass["name"] == class_["name"]))


def face_of(term: Record) -> Face:
    """Return the face of a term: bold where its place is not settled, italic where it was moved."""
    return {"firm": PLAIN, "moved": ITALIC}.get(term["status"], BOLD)


def fit_words(
    chart: Record, form: Format, rings: Rings, setter: Typesetter
) -> tuple[Word, ...] | list[TooSmall]:
    """Set the terms in the largest size at which each has its room."""
    entries = [(class_, term) for class_, _, term in chart_terms(chart)]
    depth = rings.word - form.hub * form.radius - 2.0
    size = form.words
    while size >= SMALLEST - 1e-9:
        words = [set_word(class_, term, size, depth, rings, setter) for class_, term in entries]
        if None not in words:
            found = tuple(word for word in words if word is not None)
            if not crowded(found, form.clear, setter):
                return found
        size -= STEP
    return too_small(entries, depth, form, rings, setter)


def set_word(
    class_: Record, term: Record, size: float, depth: float, rings: Rings, setter: Typesetter
) -> Word | None:
    """Set one term: in one line, a little smaller, or in two; None if it has no room."""
    face, middle = face_of(term), (term["start_deg"] + term["end_deg"]) / 2
    best: tuple[float, tuple[str, ...]] | None = None
    for lines in line_breaks(term["label"], 2):
        longest = max(setter.width(line, face) for line in lines)
        able = min(size, depth / longest)
        if able >= max(SMALLEST - 1e-9, 0.72 * size) and (best is None or able > 1.15 * best[0]):
            best = able, lines
    if best is None:
        return None
    size, lines = best
    inner = rings.word - size * max(setter.width(line, face) for line in lines)
    return Word(term, class_, middle, lines, size, face, inner)


def too_small(
    entries: Sequence[tuple[Record, Record]],
    depth: float,
    form: Format,
    rings: Rings,
    setter: Typesetter,
) -> list[TooSmall]:
    """Name the terms that cannot be set at the smallest size: too long, or too close."""
    words = [set_word(*entry, SMALLEST, depth, rings, setter) for entry in entries]
    long = [
        TooSmall(entry["label"], "long")
        for (_, entry), word in zip(entries, words, strict=True)
        if word is None
    ]
    if long:
        return long
    found = tuple(word for word in words if word is not None)
    return [TooSmall(word.entry["label"], "close") for word in crowded(found, form.clear, setter)]


def reach(word: Word, setter: Typesetter) -> tuple[float, float]:
    """Return how far the ink of a word lies before and behind its ray, clockwise."""
    set_lines = [setter.line(line, word.face) for line in word.lines]
    block = (len(set_lines) - 1) * LINE / 2
    over = (block + set_lines[0].top - MIDDLE) * word.size
    under = (block + set_lines[-1].bottom + MIDDLE) * word.size
    return (under, over) if runs_inwards(word.middle) else (over, under)


def crowded(words: Sequence[Word], free: float, setter: Typesetter) -> list[Word]:
    """Return the words that come too close to the next one; `free` in sizes of the type."""
    found = []
    reaches = [reach(word, setter) for word in words]
    for at, word in enumerate(words):
        after = (at + 1) % len(words)
        if after == at:
            break
        nxt = words[after]
        apart = radians(min((nxt.middle - word.middle) % 360.0, 170.0))
        clear = free * min(word.size, nxt.size)
        radius = max(word.inner, nxt.inner)
        both = reaches[at][1] + reaches[after][0] + clear
        room = 2 * radius * tan(apart / 2)
        one_inner = 2 * min(word.inner, nxt.inner) * tan(apart / 2)
        alone = (reaches[at][1] if word.inner < nxt.inner else reaches[after][0]) + clear / 2
        if room < both or one_inner < alone:
            found.append(min(word, nxt, key=lambda each: each.inner))
    return found


def line_breaks(text: str, most: int = MOST_LINES) -> list[tuple[str, ...]]:
    """Return the ways to set a text in one line or more, each as even as can be."""
    words = text.split()
    ways: list[tuple[str, ...]] = [(" ".join(words),)]
    for count in range(2, min(most, len(words)) + 1):
        options = []
        for cuts in combinations(range(1, len(words)), count - 1):
            bounds = [0, *cuts, len(words)]
            lines = tuple(" ".join(words[a:b]) for a, b in pairwise(bounds))
            options.append((max(map(len, lines)), lines))
        ways.append(min(options)[1])
    return ways


def runs_inwards(middle: float) -> bool:
    """Return whether a term at this place is read towards the centre."""
    return middle % 360.0 >= 180.0


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
    class_: Record, form: Format, rings: Rings, setter: Typesetter, numbers: _Numbers
) -> Name:
    """Set the name of a class inside its felloe."""
    k = form.radius / A3.radius
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
    numbers: _Numbers,
) -> Name:
    """Set the name of a subclass over its arc; less than half of each gap beside it is its own."""
    k = form.radius / A3.radius
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
    group: Record, name: str, face: Face, room: Room, setter: Typesetter, numbers: _Numbers
) -> Name:
    fitted = fit_name(name, face, room, setter)
    inwards, number = hangs(room.middle), 0
    if fitted is None:
        number = numbers.next(name)
        sign = letters_of(number)
        size = min(room.largest, max(SMALLEST, 0.7 * room.largest))
        at = (room.outer + room.inner) / 2 + (0.34 if inwards else -0.34) * size
        fitted = (sign,), (at,), size
    return Name(group, *fitted, face, room.middle, inwards, number)
