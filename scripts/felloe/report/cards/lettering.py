"""Which font a text is set in, how wide it is there, and which letters no font has."""

import unicodedata
from collections.abc import Mapping
from functools import cached_property
from pathlib import Path
from typing import Any

from felloe.ground.drawing import POINT_MM
from felloe.report.typeface.faces import opened
from felloe.report.typeface.shaping import clusters

MIXED = "-mixed"  # ends the style of a text that no single font has all letters of
UNSEEN = ("Cc", "Cf", "Zs", "Zl", "Zp")  # categories of signs that need no shape of their own
TO_THE_LEFT = ("R", "AL")
KEPT_TOGETHER = "\u00a0"


def tidied(text: str | None) -> str:
    """Return a text as it is set: composed letters, one blank between words, no line ends."""
    composed = unicodedata.normalize("NFC", text or "")
    for blank in ("\u202f", "\u2007", "\u2060"):
        composed = composed.replace(blank, KEPT_TOGETHER if blank != "\u2060" else "")
    parts = [" ".join(part.split()) for part in composed.split(KEPT_TOGETHER)]
    return KEPT_TOGETHER.join(parts).strip()


def right_to_left(text: str) -> bool:
    """Return whether the first letter of a text that has a direction runs to the left."""
    for letter in text:
        way = unicodedata.bidirectional(letter)
        if way in ("L", *TO_THE_LEFT):
            return way in TO_THE_LEFT
    return False


class Lettering:
    """
    The fonts of the cards, and widths of words in them.

    Parameters
    ----------
    paths : mapping of str to Path
        Font file of every style, as `font_files` returns it.
    """

    def __init__(self, paths: Mapping[str, Path]) -> None:
        self.paths = dict(paths)
        self._widths: dict[tuple[str, str], float] = {}

    @cached_property
    def _fonts(self) -> dict[str, Any]:
        """The shaping engine's font of every style."""
        return {style: opened(path) for style, path in self.paths.items()}

    @cached_property
    def letters(self) -> dict[str, frozenset[int]]:
        """The letters that each style has, as code points."""
        return {style: frozenset(font.face.unicodes) for style, font in self._fonts.items()}

    def missing(self, text: str, style: str) -> set[str]:
        """Return the letters of a text that a style has not."""
        has = self.letters[style]
        return {
            letter
            for letter in text
            if ord(letter) not in has and unicodedata.category(letter) not in UNSEEN
        }

    def tried(self, weight: str) -> list[str]:
        """Return the styles in which a text of a weight may be set, the first choice first."""
        weights = ("strong", "plain") if weight == "strong" else (weight,)
        return [style for each in weights for style in self.paths if style.split("-")[0] == each]

    def style_of(self, text: str, weight: str) -> str:
        """Return the first style that has every letter of a text, or that of a mixed one."""
        whole = (style for style in self.tried(weight) if not self.missing(text, style))
        return next(whole, weight + MIXED)

    def runs(self, text: str, style: str) -> list[tuple[str, str]]:
        """Return (style, text) of the stretches of a line, from left to right."""
        if not style.endswith(MIXED):
            return [(style, text)]
        found: list[tuple[str, str]] = []
        for letters in clusters(text):
            own = self.style_of(letters, style.removesuffix(MIXED))
            if found and (letters.isspace() or found[-1][0] == own):
                found[-1] = (found[-1][0], found[-1][1] + letters)
            else:
                found.append((own, letters))
        return found

    def lacking(self, text: str, weight: str = "plain") -> list[str]:
        """
        Return the letters with which a text cannot be set, in order.

        A text of both directions is set in one font, since its order is that of the whole line.
        """
        if not self.style_of(text, weight).endswith(MIXED):
            return []
        tried = self.tried(weight)
        if any(unicodedata.bidirectional(letter) in TO_THE_LEFT for letter in text):
            best = min(tried, key=lambda each: (len(self.missing(text, each)), tried.index(each)))
            return sorted(self.missing(text, best))
        nowhere = (
            letters
            for letters in clusters(text)
            if all(self.missing(letters, each) for each in tried)
        )
        return sorted(set(nowhere))

    def width(self, text: str, style: str, size: float) -> float:
        """Return how wide a text is, in millimetres at a size in points."""
        if (text, style) not in self._widths:
            self._widths[text, style] = self._measured(text, style)
        return self._widths[text, style] * size * POINT_MM

    def _measured(self, text: str, style: str) -> float:
        """Return how wide a line is in units of its size, whatever fonts it is set in."""
        return sum(self._shaped(part, own) for own, part in self.runs(text, style))

    def _shaped(self, text: str, style: str) -> float:
        """Return how wide a text is in units of its size."""
        import uharfbuzz

        buffer = uharfbuzz.Buffer()
        buffer.add_str(text)
        buffer.guess_segment_properties()
        font = self._fonts[style]
        uharfbuzz.shape(font, buffer)
        advance = sum(position.x_advance for position in buffer.glyph_positions or ())
        return float(advance) / float(font.face.upem)
