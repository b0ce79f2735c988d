"""How large the terms are set along their spokes: one size for all, each in its room."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from math import radians, tan

from felloe.report.chart import Record, chart_terms
from felloe.report.sheet.paper import SMALLEST, STEP, Format, Rings
from felloe.report.typeface.faces import BOLD, ITALIC, PLAIN, Face
from felloe.report.typeface.shaping import Typesetter

LINE = 1.14  # from baseline to baseline, in sizes of the type
MIDDLE = 0.34  # of small letters with their risers, over the baseline
MOST_LINES = 3


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
        None where terms are not written.
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
class TooSmall:
    """A term that cannot be set at the smallest size, and why."""

    label: str
    why: str


def face_of(term: Record) -> Face:
    """Return the face of a term: bold where its place is not settled, italic where it was moved."""
    return {"firm": PLAIN, "moved": ITALIC}.get(term["status"], BOLD)


def middle_of(term: Record) -> float:
    """Return the middle of a term's sector, degrees."""
    return float(term["start_deg"] + term["end_deg"]) / 2


def fit_words(
    chart: Record, form: Format, rings: Rings, setter: Typesetter
) -> tuple[Word, ...] | list[TooSmall]:
    """Set the terms in the largest size at which each has its room."""
    entries = [(class_, term) for class_, _, term in chart_terms(chart)]
    if not form.worded:
        return tuple(
            Word(term, class_, middle_of(term), (), SMALLEST, face_of(term), rings.word)
            for class_, term in entries
        )
    depth = rings.word - form.hub * form.radius - 2.0
    if small := too_small(entries, depth, form, rings, setter):
        return small
    size = form.words
    while size >= SMALLEST - 1e-9:
        words = [set_word(class_, term, size, depth, rings, setter) for class_, term in entries]
        if None not in words:
            found = tuple(word for word in words if word is not None)
            if not crowded(found, form.clear, setter):
                return found
        size -= STEP
    words = [set_word(*entry, SMALLEST, depth, rings, setter) for entry in entries]
    return tuple(word for word in words if word is not None)


def set_word(
    class_: Record, term: Record, size: float, depth: float, rings: Rings, setter: Typesetter
) -> Word | None:
    """Set one term: in one line, a little smaller, or in two; None if it has no room."""
    face, middle = face_of(term), middle_of(term)
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
    close = {word.entry["id"]: word for word in crowded(found, form.clear, setter)}
    return [TooSmall(word.entry["label"], "close") for word in close.values()]


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
