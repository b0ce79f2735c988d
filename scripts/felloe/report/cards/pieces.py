"""What a sheet is drawn from: words, boxes and lines at their places, in millimetres."""

from dataclasses import dataclass

from felloe.ground.drawing import INK, POINT_MM
from felloe.report.cards.lettering import Lettering

ASCENT, DESCENT = 0.96, 0.28  # of every font used, in sizes, rounded up


@dataclass(frozen=True)
class Writing:
    """
    One line of text; `y` is its base line, `x` the left end, or the right one if it is flush right.

    `to_the_left` says that it is read from the right.
    """

    x: float
    y: float
    text: str
    style: str
    size: float
    tone: str = INK
    flush_right: bool = False
    to_the_left: bool = False

    def box(self, lettering: Lettering) -> tuple[float, float, float, float]:
        """Return (left, top, right, bottom) of the room that the line takes."""
        width = lettering.width(self.text, self.style, self.size)
        left = self.x - width if self.flush_right else self.x
        size = self.size * POINT_MM
        return left, self.y - ASCENT * size, left + width, self.y + DESCENT * size


@dataclass(frozen=True)
class Box:
    """A rectangle, filled, framed, or both."""

    x: float
    y: float
    width: float
    height: float
    fill: str = ""
    frame: str = ""
    dashed: bool = False


@dataclass(frozen=True)
class Stroke:
    """A level line."""

    x: float
    y: float
    width: float
    tone: str
    thickness: float = 0.2


CardPiece = Writing | Box | Stroke


@dataclass(frozen=True)
class CardSheet:
    """
    One page.

    Attributes
    ----------
    pieces : tuple of CardPiece
        In the order in which they are read.
    bookmark : str
        Its title in the outline; empty where it continues another.
    level : int
        0 for a class, 1 for a term.
    """

    pieces: tuple[CardPiece, ...]
    bookmark: str = ""
    level: int = 0
