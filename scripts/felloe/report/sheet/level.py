"""Level text on a sheet: measured, broken into lines, shortened, set."""

from dataclasses import dataclass

from felloe.ground.drawing import ACCENT, INK, MUTED
from felloe.report.sheet.paper import Format
from felloe.report.sheet.shapes import Anchor, Text
from felloe.report.typeface.breaking import Line, broken, cut_short, joined
from felloe.report.typeface.faces import PLAIN, Face
from felloe.report.typeface.shaping import Typesetter, one_way

LEADING = 1.24
ROLES = {INK: "ink", MUTED: "muted", ACCENT: "accent"}


@dataclass(frozen=True)
class Level:
    """
    Sets level text on a sheet; places are on the paper, from its upper left corner.

    Attributes
    ----------
    setter : Typesetter
    form : Format
    """

    setter: Typesetter
    form: Format

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Turn a place on the paper into one around the centre."""
        return x - self.form.centre[0], y - self.form.centre[1]

    def width(self, text: str, size: float, face: Face = PLAIN) -> float:
        """Return the width of a line whose parts may run in both directions."""
        return sum(wide + blank for _, wide, blank in self._parts(text, size, face))

    def _parts(self, text: str, size: float, face: Face) -> list[tuple[str, float, float]]:
        """Return the stretches of a line, each with its width and that of the blanks after it."""
        blank = (self.setter.width("n n", face) - 2 * self.setter.width("n", face)) * size
        return [
            (part, self.setter.width(part, face) * size, blank * (len(part) - len(part.rstrip())))
            for part in one_way(text)
        ]

    def texts(
        self,
        text: str,
        x: float,
        y: float,
        size: float,
        face: Face = PLAIN,
        color: str = INK,
        anchor: Anchor = "start",
    ) -> list[Text]:
        """
        Set a line, every stretch of one direction by itself and in the order of the whole.

        So a name from right to left keeps its place in a sentence that runs the other way.
        """
        if not text.strip():
            return []
        parts = self._parts(text, size, face)
        role = ROLES.get(color, "")
        if len(parts) == 1:
            return [Text(text, *self.at(x, y), size, color, face, 0.0, anchor, role)]
        whole = sum(wide + blank for _, wide, blank in parts)
        x -= {"start": 0.0, "middle": whole / 2, "end": whole}[anchor]
        found = []
        for part, wide, blank in parts:
            found.append(Text(part.rstrip(), *self.at(x, y), size, color, face, 0.0, "start", role))
            x += wide + blank
        return found

    def wrapped(self, text: str, width: float, size: float, face: Face = PLAIN) -> list[str]:
        """Break a text into lines of a width; a word that is wider than a line comes in parts."""
        return [line.text for line in self._broken(text, width, size, face)]

    def hung(self, text: str, first: float, rest: float, size: float) -> list[str]:
        """Break a text into lines of which the first has another width."""
        lines = self._broken(text, first, size, PLAIN)
        after = joined(lines[1:])
        return [line.text for line in lines[:1]] + self.wrapped(after, rest, size)

    def _broken(self, text: str, width: float, size: float, face: Face) -> list[Line]:
        return broken(" ".join(text.split()), width, lambda part: self.width(part, size, face))

    def block(
        self,
        text: str,
        x: float,
        y: float,
        width: float,
        size: float,
        color: str = INK,
        face: Face = PLAIN,
    ) -> tuple[list[Text], float]:
        """Set a text in lines; return them and the next line's height on the paper."""
        found: list[Text] = []
        for each in self.wrapped(text, width, size, face):
            found += self.texts(each, x, y, size, face, color)
            y += LEADING * size
        return found, y

    def shortened(self, text: str, width: float, size: float, face: Face = PLAIN) -> str:
        """Shorten a text to a width, saying so."""
        if self.width(text, size, face) <= width:
            return text
        return cut_short(text, width, lambda part: self.width(part, size, face))
