"""Text broken into lines of a width, at blanks, and within words that are longer than a line."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from felloe.report.typeface.shaping import clusters

Width = Callable[[str], float]
SLACK_MM = 0.2  # blanks between words may be kerned


@dataclass(frozen=True)
class Line:
    """
    One line of a text.

    Attributes
    ----------
    text : str
    joint : str
        What stood between this line and the next: a blank, or nothing within a word.
    """

    text: str
    joint: str = " "


def broken(text: str, room: float, width: Width) -> list[Line]:
    """
    Break a text into lines.

    Parameters
    ----------
    text : str
        Words with one blank between them.
    room : float
        Width of a line in millimetres.
    width : callable
        Returns how wide a text is, in millimetres.

    Returns
    -------
    list of Line
        None wider than the room, but for a single letter that is.
    """
    limit = room - SLACK_MM
    lines: list[Line] = []
    words: list[str] = []
    used, blank = 0.0, width(" ")
    for word in text.split(" ") if text else ():
        pieces = list(pieces_of(word, limit, width))
        longer = width(pieces[0]) + (blank if words else 0)
        if words and used + longer > limit:
            lines.append(Line(" ".join(words)))
            words, used, longer = [], 0.0, width(pieces[0])
        for piece in pieces[:-1]:
            lines.append(Line(" ".join([*words, piece]), ""))
            words, used = [], 0.0
        words.append(pieces[-1])
        used += longer if len(pieces) == 1 else width(pieces[-1])
    return [*lines, Line(" ".join(words))] if words else lines


def pieces_of(word: str, limit: float, width: Width) -> Iterator[str]:
    """Yield a word in pieces that fit a line; marks stay with their letters."""
    if width(word) <= limit:
        yield word
        return
    piece = ""
    for cluster in clusters(word):
        if piece and width(piece + cluster) > limit:
            yield piece
            piece = ""
        piece += cluster
    yield piece


def cut_short(text: str, room: float, width: Width) -> str:
    """Return as much of a text as has room with the sign that says that more follows."""
    while text and width(f"{text}\u2026") > room:
        text = text[:-1]
    return f"{text.rstrip()}\u2026"


def joined(lines: list[Line]) -> str:
    """Return the text that lines were broken from."""
    return "".join(line.text + line.joint for line in lines).strip()
