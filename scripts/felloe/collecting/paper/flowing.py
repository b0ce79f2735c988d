"""Text poured over pages of A4, and the frame that every page has."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from felloe.ground.drawing import INK, MUTED, POINT_MM
from felloe.report.cards.lettering import Lettering, right_to_left, tidied
from felloe.report.cards.pieces import ASCENT, CardPiece, CardSheet, Writing
from felloe.report.cards.pouring import leading
from felloe.report.typeface.breaking import Line, broken, cut_short

WIDTH, HEIGHT = 210.0, 297.0  # A4
MARGIN = 14.0
INNER = WIDTH - 2 * MARGIN
FOOT = 7.0  # points
BOTTOM = HEIGHT - MARGIN - leading(FOOT) - 2.0  # above the line that says which page it is


@dataclass(frozen=True)
class Paragraph:
    """
    One text of a page.

    Attributes
    ----------
    text : str
    size : float
        Points.
    weight : {'plain', 'strong'}
    before : float
        Room above it, in lines; nothing at the top of a page.
    tone : str
    keeps : bool
        Whether it stands on the page of the next one, as a heading does.
    """

    text: str
    size: float = 10.5
    weight: str = "plain"
    before: float = 0.0
    tone: str = INK
    keeps: bool = False


@dataclass(frozen=True)
class Typeset:
    """
    Sets texts in the fonts at hand.

    Attributes
    ----------
    lettering : Lettering
    """

    lettering: Lettering

    def lines(self, text: str, weight: str, size: float, room: float) -> list[Line]:
        """Return a text broken into lines of a width."""
        text = tidied(text)
        style = self.lettering.style_of(text, weight)
        return broken(text, room, lambda each: self.lettering.width(each, style, size))

    def width(self, text: str, weight: str, size: float) -> float:
        """Return how wide a line is, in millimetres."""
        return self.lettering.width(text, self.lettering.style_of(text, weight), size)

    def cut(self, text: str, weight: str, size: float, room: float) -> str:
        """Return a text, shortened where it is wider than its room."""
        text = tidied(text)
        if self.width(text, weight, size) <= room:
            return text
        return cut_short(text, room, lambda each: self.width(each, weight, size))

    def at(
        self, x: float, top: float, text: str, weight: str, size: float, tone: str = INK
    ) -> Writing:
        """Return one line whose left end and top are given."""
        style = self.lettering.style_of(text, weight)
        base = top + ASCENT * size * POINT_MM
        return Writing(x, base, text, style, size, tone, to_the_left=right_to_left(text))

    def centred(
        self, middle: float, top: float, text: str, weight: str, size: float, tone: str = INK
    ) -> Writing:
        """Return one line whose middle and top are given."""
        return self.at(middle - self.width(text, weight, size) / 2, top, text, weight, size, tone)

    def flowed(self, paragraphs: Sequence[Paragraph]) -> list[list[CardPiece]]:
        """Return the pieces of as many pages as texts take."""
        pages: list[list[CardPiece]] = [[]]
        at = MARGIN
        for place, paragraph in enumerate(paragraphs):
            lines = self.lines(paragraph.text, paragraph.weight, paragraph.size, INNER)
            height = leading(paragraph.size)
            at += paragraph.before * height if pages[-1] else 0.0
            needed = height * min(len(lines), 2) + self.following(
                paragraphs[place + 1 :], paragraph
            )
            if at + needed > BOTTOM and pages[-1]:
                pages.append([])
                at = MARGIN
            backwards = right_to_left(paragraph.text)
            for line in lines:
                if at + height > BOTTOM and pages[-1]:
                    pages.append([])
                    at = MARGIN
                piece = self.at(
                    MARGIN, at, line.text, paragraph.weight, paragraph.size, paragraph.tone
                )
                pages[-1].append(turned(piece) if backwards else piece)
                at += height
        return pages

    def following(self, rest: Sequence[Paragraph], paragraph: Paragraph) -> float:
        """Return the room that a heading needs below it."""
        if not paragraph.keeps or not rest:
            return 0.0
        return (rest[0].before + 2) * leading(rest[0].size)


def turned(piece: Writing) -> Writing:
    """Return a line that is read from the right, set at the right margin."""
    return Writing(
        WIDTH - MARGIN, piece.y, piece.text, piece.style, piece.size, piece.tone, True, True
    )


def framed(
    typeset: Typeset, pages: Sequence[tuple[str, Iterable[CardPiece]]], feet: Sequence[str]
) -> Iterator[CardSheet]:
    """Yield pages with the line at their foot, and a bookmark where one is named."""
    top = HEIGHT - MARGIN - leading(FOOT)
    for (bookmark, pieces), foot in zip(pages, feet, strict=True):
        text = typeset.cut(foot, "plain", FOOT, INNER)
        line = typeset.at(MARGIN, top, text, "plain", FOOT, MUTED)
        yield CardSheet((*pieces, line), bookmark)
