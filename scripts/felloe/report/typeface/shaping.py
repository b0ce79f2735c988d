"""Lines of text as glyphs: shaped by HarfBuzz, letter by letter from the first font that has it."""

import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

from felloe.errors import Fault
from felloe.report.typeface.faces import FACES, PLAIN, Face, font_files, opened

# of an outline: move, line, quad, cube or close, and its points
Command = tuple[str, tuple[tuple[float, float], ...]]
RIGHT_TO_LEFT = frozenset(("R", "AL"))
LEFT_TO_RIGHT = frozenset(("L", "EN"))
JOINER = "\u200d"  # makes one sign of the letters beside it


@dataclass(frozen=True)
class Glyph:
    """
    One glyph of a line, lengths in sizes of the type.

    Attributes
    ----------
    font : int
        Place of its font file in the chain of the face.
    number : int
        Of the glyph in that font.
    x, y : float
        Where it stands from the start of the line; y upwards.
    advance : float
    """

    font: int
    number: int
    x: float
    y: float
    advance: float


@dataclass(frozen=True)
class Piece:
    """A stretch of a line that one font sets, as it is read, and where it starts."""

    font: int
    text: str
    x: float


@dataclass(frozen=True)
class Line:
    """
    A shaped line.

    Attributes
    ----------
    text : str
    glyphs : tuple of Glyph
        From left to right.
    pieces : tuple of Piece
        From left to right.
    width, top, bottom : float
        In sizes of the type; `top` and `bottom` are the ink's reach over and under the baseline,
        both as positive lengths.
    plain : bool
        Whether its letters stand one by one from left to right, so that a program that knows
        nothing of scripts sets it alike.
    """

    text: str
    glyphs: tuple[Glyph, ...]
    pieces: tuple[Piece, ...]
    width: float
    top: float
    bottom: float
    plain: bool


@dataclass
class Typesetter:
    """
    Sets lines in the faces of the sheet.

    Parameters
    ----------
    further : tuple of path
        The study's own font files.
    """

    further: tuple[str | Path, ...] = ()
    _lines: dict[tuple[str, Face], Line] = field(default_factory=dict)
    _outlines: dict[tuple[Path, int], tuple[Command, ...]] = field(default_factory=dict)

    def chain(self, face: Face) -> tuple[Path, ...]:
        """Return the font files of a face in the order in which they are tried."""
        return font_files(face, self.further)

    def families(self, face: Face) -> str:
        """Return the families of a face in the order in which they are tried, as CSS."""
        from felloe.report.typeface.subsets import family_of

        names = dict.fromkeys(family_of(path) for path in self.chain(face))
        return ", ".join([*(f"'{name}'" for name in names), "sans-serif"])

    def line(self, text: str, face: Face = PLAIN) -> Line:
        """
        Shape a line.

        Raises
        ------
        ValueError
            If a letter is in none of the fonts, or the line runs both ways.
        """
        key = (" ".join(unicodedata.normalize("NFC", text).split()), face)
        if key not in self._lines:
            self._lines[key] = self._shape(*key)
        return self._lines[key]

    def width(self, text: str, face: Face = PLAIN) -> float:
        """Return the width of a line in sizes of the type."""
        return self.line(text, face).width

    def faults(self, texts: Mapping[str, str], faces: Iterable[Face] = FACES) -> list[Fault]:
        """
        Say which texts cannot be set, and why.

        Parameters
        ----------
        texts : mapping of str to str
            By what they name, such as `the term dill`.
        faces : iterable of Face

        Returns
        -------
        list of Fault
        """
        found = []
        for name, text in texts.items():
            for face in faces:
                try:
                    self.line(text, face)
                except ValueError as error:
                    problem, _, remedy = str(error).partition(": ")
                    found.append(Fault("wheel", 0, "", text, f"{name} {problem}", remedy))
                    break
        return found

    def outline(self, glyph: Glyph, face: Face) -> tuple[Command, ...]:
        """Return the outline of a glyph in sizes of the type, y upwards, from its own origin."""
        path = self.chain(face)[glyph.font]
        key = path, glyph.number
        if key not in self._outlines:
            pen = _Pen(opened(path).face.upem)
            opened(path).draw_glyph_with_pen(glyph.number, pen)
            self._outlines[key] = tuple(pen.commands)
        return self._outlines[key]

    def _shape(self, text: str, face: Face) -> Line:
        backwards = runs_backwards(text)
        chain = self.chain(face)
        stretches = self._stretches(text, chain)
        if backwards:
            stretches.reverse()
        glyphs: list[Glyph] = []
        pieces: list[Piece] = []
        x, top, bottom, plain = 0.0, 0.0, 0.0, not backwards
        for number, part in stretches:
            pieces.append(Piece(number, part, x))
            font = opened(chain[number])
            shaped = shape(font, part, backwards)
            for one, advance, dx, dy in shaped:
                glyphs.append(Glyph(number, one, x + dx, dy, advance))
                extents = font.get_glyph_extents(one)
                if extents and extents.height:
                    top = max(top, dy + extents.y_bearing / font.face.upem)
                    low = (extents.y_bearing + extents.height) / font.face.upem
                    bottom = max(bottom, -(dy + low))
                x += advance
            plain = plain and is_plain(part)
        return Line(text, tuple(glyphs), tuple(pieces), x, top, bottom, plain)

    def _stretches(self, text: str, chain: Sequence[Path]) -> list[tuple[int, str]]:
        """Split a text where the font changes; a letter keeps its combining marks."""
        parts: list[tuple[int, str]] = []
        missing = []
        for cluster in clusters(text):
            number = self._first_with(cluster, chain)
            if number is None:
                missing.append(cluster)
            elif parts and (parts[-1][0] == number or cluster == " "):
                parts[-1] = parts[-1][0], parts[-1][1] + cluster
            else:
                parts.append((number, cluster))
        if missing:
            letters = ", ".join(f"'{one}' ({code_points(one)})" for one in dict.fromkeys(missing))
            raise ValueError(
                f"has letters that no font here has, {letters}: Put a font file that has them into "
                "the study's folder and name it under `wheel.fonts` in the settings."
            )
        return parts

    def _first_with(self, cluster: str, chain: Sequence[Path]) -> int | None:
        for number, path in enumerate(chain):
            font = opened(path)
            if all(font.get_nominal_glyph(ord(one)) for one in cluster if not is_joiner(one)):
                return number
        return None


def shape(font: Any, text: str, backwards: bool) -> list[tuple[int, float, float, float]]:
    """
    Shape a stretch of one font.

    Returns
    -------
    list of (glyph number, advance, dx, dy)
        From left to right, in sizes of the type.

    Raises
    ------
    ValueError
        If the shaper met what the font cannot set.
    """
    import uharfbuzz

    buffer = uharfbuzz.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    buffer.direction = "rtl" if backwards else "ltr"
    uharfbuzz.shape(font, buffer)
    infos, places = buffer.glyph_infos, buffer.glyph_positions
    if any(info.codepoint == 0 for info in infos):
        raise ValueError(
            f"has letters that its font cannot shape, in '{text}': Name another font under "
            "`wheel.fonts` in the settings."
        )
    unit = font.face.upem
    return [
        (info.codepoint, at.x_advance / unit, at.x_offset / unit, at.y_offset / unit)
        for info, at in zip(infos, places, strict=True)
    ]


def clusters(text: str) -> list[str]:
    """Split a text into letters, each with the marks and joiners that belong to it."""
    found: list[str] = []
    for one in text:
        belongs = unicodedata.category(one)[0] == "M" or is_joiner(one)
        if found and (belongs or found[-1].endswith(JOINER)):
            found[-1] += one
        else:
            found.append(one)
    return found


def is_joiner(one: str) -> bool:
    """Return whether a sign is drawn by no glyph of its own: joiners, selectors, soft hyphens."""
    return unicodedata.category(one) == "Cf" or "\ufe00" <= one <= "\ufe0f"


def runs_backwards(text: str) -> bool:
    """
    Return whether a line is read from right to left.

    Raises
    ------
    ValueError
        If it has letters of both directions, whose order depends on rules of the whole line.
    """
    kinds = {unicodedata.bidirectional(one) for one in text}
    backwards = bool(kinds & RIGHT_TO_LEFT) or "AN" in kinds
    if backwards and kinds & (LEFT_TO_RIGHT | {"AN"}):
        raise ValueError(
            "runs in both directions, which is not set here: Write it in one direction, numbers "
            "in words."
        )
    return backwards


def one_way(text: str) -> list[str]:
    """
    Split a line into stretches that each run in one direction, in the order of reading.

    Signs between letters of the same direction go with these; others, and digits, go from left
    to right. Blanks stay with the stretch before them.
    """
    ways = [way_of(one) for one in text]
    told = [at for at, way in enumerate(ways) if way is not None]
    for at, after in pairwise(told):
        if ways[at] and ways[after]:
            ways[at:after] = [True] * (after - at)
    parts: list[tuple[bool, str]] = []
    for one, way in zip(text, ways, strict=True):
        if parts and (one == " " or bool(way) == parts[-1][0]):
            parts[-1] = parts[-1][0], parts[-1][1] + one
        else:
            parts.append((bool(way), one))
    return [part for _, part in parts] or [""]


def way_of(one: str) -> bool | None:
    """Return whether a letter runs from right to left; None for a sign that runs with others."""
    kind = unicodedata.bidirectional(one)
    return kind in RIGHT_TO_LEFT if kind in (RIGHT_TO_LEFT | LEFT_TO_RIGHT) else None


def is_plain(text: str) -> bool:
    """Return whether every letter is one sign that stands by itself."""
    return all(
        (unicodedata.category(one)[0] in "LNPSZ" and ord(one) < 0x0590)
        or 0x2000 <= ord(one) < 0x2E80
        or (0x3000 <= ord(one) < 0xFB00 and unicodedata.category(one)[0] != "M")
        for one in text
    )


def code_points(cluster: str) -> str:
    """Return the code points of a letter, such as U+0E01."""
    return " ".join(f"U+{ord(one):04X}" for one in cluster)


class _Pen:
    """Collects an outline in sizes of the type."""

    def __init__(self, unit: int) -> None:
        self.unit = unit
        self.commands: list[Command] = []

    def _add(self, name: str, *points: tuple[float, float]) -> None:
        self.commands.append((name, tuple((x / self.unit, y / self.unit) for x, y in points)))

    def moveTo(self, point: tuple[float, float]) -> None:
        self._add("move", point)

    def lineTo(self, point: tuple[float, float]) -> None:
        self._add("line", point)

    def qCurveTo(self, *points: tuple[float, float]) -> None:
        self._add("quad", *points)

    def curveTo(self, *points: tuple[float, float]) -> None:
        self._add("cube", *points)

    def closePath(self) -> None:
        self._add("close")

    def endPath(self) -> None:
        pass


@cache
def typesetter(further: tuple[str, ...] = ()) -> Typesetter:
    """Return the one typesetter of a process for these further fonts."""
    return Typesetter(further)
