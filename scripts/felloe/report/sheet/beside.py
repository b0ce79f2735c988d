"""What stands around the wheel: the title, what is not settled, and the key."""

from collections.abc import Iterator
from dataclasses import dataclass

from felloe.ground.drawing import ACCENT, INK, MUTED
from felloe.report.chart import Record
from felloe.report.languages.language_words import Words
from felloe.report.sheet.plan import Plan
from felloe.report.sheet.shapes import Anchor, Part, Text
from felloe.report.typeface.faces import PLAIN, Face
from felloe.report.typeface.shaping import Typesetter, clusters

LEADING = 1.24


@dataclass(frozen=True)
class Beside:
    """What the parts around a wheel share."""

    chart: Record
    plan: Plan
    setter: Typesetter
    words: Words
    note: str
    weak: float

    @property
    def k(self) -> float:
        """The sheet's scale beside A3."""
        return self.plan.form.radius / 139.0

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Turn a place on the paper into one around the centre."""
        return x - self.plan.form.centre[0], y - self.plan.form.centre[1]

    def text(
        self,
        text: str,
        x: float,
        y: float,
        size: float,
        face: Face = PLAIN,
        color: str = INK,
        anchor: Anchor = "start",
    ) -> Text:
        """Return a level line of text; x and y are on the paper."""
        role = {INK: "ink", MUTED: "muted", ACCENT: "accent"}.get(color, "")
        return Text(text, *self.at(x, y), size, color, face, 0.0, anchor, role)

    def wrapped(self, text: str, width: float, size: float, face: Face = PLAIN) -> list[str]:
        """Break a text into lines of a width."""
        lines: list[str] = []
        for word in self.broken(text, width, size, face):
            longer = f"{lines[-1]} {word}" if lines else word
            if lines and self.setter.width(longer, face) * size <= width:
                lines[-1] = longer
            else:
                lines.append(word)
        return lines

    def broken(self, text: str, width: float, size: float, face: Face) -> Iterator[str]:
        """Yield the words of a text; one that is wider than a line comes in parts."""
        for word in text.split():
            part = ""
            for letters in clusters(word):
                if part and self.setter.width(part + letters, face) * size > width:
                    yield part
                    part = ""
                part += letters
            yield part

    def block(
        self, text: str, x: float, y: float, width: float, size: float, color: str = INK
    ) -> tuple[list[Part], float]:
        """Set a text in lines; return them and the next line's height on the paper."""
        parts: list[Part] = []
        for each in self.wrapped(text, width, size):
            parts.append(self.text(each, x, y, size, color=color))
            y += LEADING * size
        return parts, y


def shortened(beside: Beside, text: str, width: float, size: float, face: Face = PLAIN) -> str:
    """Shorten a text to a width, saying so."""
    if beside.setter.width(text, face) * size <= width:
        return text
    while text and beside.setter.width(f"{text}…", face) * size > width:
        text = text[:-1]
    return f"{text.rstrip()}…"


def hundred(share: float | None) -> str:
    """Return how many of 100 a share is; never 100 for less than all, nor 0 for some."""
    if share is None:
        return "?"
    number = round(100 * share)
    return str(min(max(number, int(share > 0)), 99 if share < 1 else 100))
