"""A sheet as PDF: live text in embedded fonts, page boxes, the same bytes each time."""

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from felloe.ground.drawing import POINT_MM
from felloe.ground.files.writing import UNDATED
from felloe.report.sheet.outlines import as_shape
from felloe.report.sheet.shapes import (
    ArcText,
    Group,
    Part,
    Shape,
    Sheet,
    Step,
    Text,
    arc_as_curves,
    place,
)
from felloe.report.typeface.shaping import Typesetter

if TYPE_CHECKING:
    from fpdf import FPDF

EDITABLE = (".ttf", ".ttc")  # fonts whose letters stay text; those of others are drawn alone


def pdf_of(sheet: Sheet, setter: Typesetter, bleed: float = 0.0) -> bytes:
    """
    Write a sheet as PDF.

    Names along an arc are drawn letter by letter, and stand once more as unseen level text, so
    that a search finds them whole.

    Parameters
    ----------
    sheet : Sheet
    setter : Typesetter
    bleed : float
        Millimetres of paper around the trimmed page; the page's boxes say which is which.

    Returns
    -------
    bytes
    """
    from fpdf import FPDF

    wide, high = sheet.width + 2 * bleed, sheet.height + 2 * bleed
    pdf = FPDF(unit="mm", format=(wide, high))
    pdf.set_creation_date(UNDATED)
    pdf.set_title(sheet.title)
    pdf.set_lang(sheet.language)
    pdf.set_auto_page_break(False)
    pdf.set_margin(0)
    pdf.add_page()
    pdf.set_text_shaping(True)  # here: within a context it would end with that
    page: Any = pdf.pages[1]
    page.trim_box = page_box(bleed, bleed, wide - bleed, high - bleed)
    page.bleed_box = page_box(0.0, 0.0, wide, high)
    writer = _Writer(pdf, setter, sheet.centre[0] + bleed, sheet.centre[1] + bleed)
    writer.parts(sheet.body.parts)
    return bytes(pdf.output())


def page_box(left: float, low: float, right: float, high: float) -> str:
    """Return a box of a page, from millimetres."""
    return "[" + " ".join(f"{value / POINT_MM:.2f}" for value in (left, low, right, high)) + "]"


class _Writer:
    """Draws parts onto a page."""

    def __init__(self, pdf: "FPDF", setter: Typesetter, x: float, y: float) -> None:
        self.pdf, self.setter, self.x, self.y = pdf, setter, x, y
        self.fonts: dict[Path, str] = {}

    def parts(self, parts: Iterable[Part]) -> None:
        """Draw some parts."""
        for part in parts:
            if isinstance(part, Group):
                self.x, self.y = self.x + part.at[0], self.y + part.at[1]
                self.parts(part.parts)
                self.x, self.y = self.x - part.at[0], self.y - part.at[1]
            elif isinstance(part, Shape):
                self.shape(part)
            elif isinstance(part, Text) and self.is_editable(part):
                self.text(part, unseen=False)
            else:
                self.shape(as_shape(part, self.setter))
                self.text(level(part) if isinstance(part, ArcText) else part, unseen=True)

    def is_editable(self, part: Text) -> bool:
        """Return whether a line is set as it is: letters one by one, in fonts that stay text."""
        line = self.setter.line(part.text, part.face)
        chain = self.setter.chain(part.face)
        return line.plain and all(
            chain[piece.font].suffix.lower() in EDITABLE for piece in line.pieces
        )

    def shape(self, shape: Shape) -> None:
        """Draw an outline."""
        from fpdf.drawing_primitives import DeviceRGB

        pdf: Any = self.pdf
        with pdf.new_path() as path:
            path.style.auto_close = False
            path.style.fill_color = DeviceRGB(*rgb(shape.fill)) if shape.fill else None
            path.style.stroke_color = DeviceRGB(*rgb(shape.stroke)) if shape.stroke else None
            if shape.stroke:
                path.style.stroke_width = shape.width
                if shape.dash:
                    path.style.stroke_dash_pattern = list(shape.dash)
            last = (0.0, 0.0)
            for step in shape.steps:
                last = self.step(path, step, last)

    def step(self, path: Any, step: Step, last: tuple[float, float]) -> tuple[float, float]:
        """Add a step to a path; return where it ends."""
        name, values = step
        if name == "M":
            path.move_to(values[0] + self.x, values[1] + self.y)
        elif name == "L":
            path.line_to(values[0] + self.x, values[1] + self.y)
        elif name == "C":
            moved = [value + (self.x if at % 2 == 0 else self.y) for at, value in enumerate(values)]
            path.curve_to(*moved)
        elif name == "A":
            for curve in arc_as_curves(last, step):
                self.step(path, curve, last)
        else:
            path.close()
            return last
        return values[-2], values[-1]

    def text(self, part: Text, *, unseen: bool) -> None:
        """Write a level or turned line."""
        from fpdf.enums import TextMode

        line = self.setter.line(part.text, part.face)
        begin = {"start": 0.0, "middle": -line.width / 2, "end": -line.width}[part.anchor]
        x, y = part.x + self.x, part.y + self.y
        pdf: Any = self.pdf
        mode = TextMode.INVISIBLE if unseen else TextMode.FILL
        with pdf.local_context(text_mode=mode), pdf.rotation(-part.turn, x, y):
            pdf.set_text_color(*(round(255 * value) for value in rgb(part.color)))
            for piece in line.pieces:
                family = self.font(part, piece.font)
                if family is None:
                    continue
                pdf.set_font(family, size=part.size / POINT_MM)
                pdf.text(x + (begin + piece.x) * part.size, y, piece.text)

    def font(self, part: Text, number: int) -> str | None:
        """Return the name under which the page knows a font; None for one that cannot be text."""
        path = self.setter.chain(part.face)[number]
        if path.suffix.lower() not in EDITABLE:
            return None
        if path not in self.fonts:
            self.fonts[path] = f"font{len(self.fonts)}"
            self.pdf.add_font(self.fonts[path], "", str(path))
        return self.fonts[path]


def level(part: ArcText) -> Text:
    """Return a line along an arc as a level one over its middle."""
    x, y = place(part.radius, part.middle)
    return Text(part.text, x, y, part.size, part.color, part.face, 0.0, "middle")


def rgb(colour: str) -> tuple[float, float, float]:
    """Return a colour as shares of red, green and blue."""
    red, green, blue = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    return red, green, blue
