"""A sheet as SVG: with live text in named groups, or with every letter an outline."""

import base64
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from xml.sax.saxutils import escape, quoteattr

from felloe.report.sheet.name_fitting import TRACKING
from felloe.report.sheet.outlines import as_shape
from felloe.report.sheet.shapes import (
    ArcText,
    Group,
    Part,
    Shape,
    Sheet,
    Text,
    arc_steps,
    leaves,
    place,
)
from felloe.report.typeface.shaping import Typesetter
from felloe.report.typeface.subsets import Used, subset_of, used_fonts

UNWORDED = ' class="unworded"'  # of a drawing whose terms are not written: the report says so
Attributes = Callable[[Group], Mapping[str, str]]


def svg_of(sheet: Sheet, setter: Typesetter, *, outlines: bool = False) -> str:
    """
    Write a sheet as SVG.

    Parameters
    ----------
    sheet : Sheet
    setter : Typesetter
    outlines : bool
        For a printer: every letter as an outline, so that no font is needed.

    Returns
    -------
    str
    """
    width, height = number(sheet.width), number(sheet.height)
    x, y = sheet.centre
    writer = _Writer(setter, outlines)
    body = "\n".join(writer.parts(sheet.body.parts, 1))
    style = (
        ""
        if outlines
        else f"<style>{fonts_style(used_fonts(leaves(sheet.body), setter))}</style>\n"
    )
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}" xml:lang={quoteattr(sheet.language)} role="img" '
        f'aria-labelledby="sheet-title sheet-description"{"" if sheet.worded else UNWORDED}>\n'
        f'<title id="sheet-title">{escape(sheet.title)}</title>\n'
        f'<desc id="sheet-description">{escape(sheet.description)}</desc>\n'
        f"{style}"
        f'<rect width="{width}" height="{height}" fill="#ffffff"/>\n'
        f'<g transform="translate({number(x)} {number(y)})">\n{body}\n</g>\n</svg>\n'
    )


def svg_fragment(group: Group, setter: Typesetter, attributes: Attributes) -> str:
    """
    Write a group as elements that stand in an SVG of another document.

    Its fonts are written once beside it, by `fonts_style`. Nothing has a `style` of its own, so
    that a document may forbid that; lines along an arc have the class `along` and want
    `font-kerning: none`, since no presentation attribute says so.

    Parameters
    ----------
    group : Group
    setter : Typesetter
    attributes : callable
        Returns the attributes of a group's element, in place of its name, kind and title.

    Returns
    -------
    str
    """
    writer = _Writer(setter, outlines=False, attributes=attributes)
    return "\n".join(writer.group(group, 0))


def fonts_style(used: Iterable[Used]) -> str:
    """Return the rules that carry the letters that are used, a font each."""
    return "".join(
        f"@font-face{{font-family:{quoteattr(one.family)};font-weight:{one.weight};"
        f"font-style:{one.style};src:url(data:font/{one.format};base64,"
        f"{base64.b64encode(subset_of(one)).decode('ascii')})}}"
        for one in used
    )


@dataclass
class _Writer:
    setter: Typesetter
    outlines: bool
    made: int = 0
    attributes: Attributes | None = None

    def parts(self, parts: Iterable[Part], depth: int) -> Iterator[str]:
        """Yield the lines of some parts."""
        indent = " " * depth
        for part in parts:
            if isinstance(part, Group):
                yield from self.group(part, depth)
            elif isinstance(part, Shape):
                yield indent + shape_element(part)
            elif self.outlines:
                yield indent + shape_element(as_shape(part, self.setter))
            else:
                yield indent + self.text(part)

    def group(self, group: Group, depth: int) -> Iterator[str]:
        """Yield the lines of a group."""
        told = self.attributes or named
        written = "".join(
            f" {name}={quoteattr(value)}" for name, value in told(group).items() if value
        )
        yield f"{' ' * depth}<g{written}{place_of(group)}>"
        if group.title and not self.attributes:
            yield f"{' ' * depth} <title>{escape(group.title)}</title>"
        yield from self.parts(group.parts, depth + 1)
        yield f"{' ' * depth}</g>"

    def text(self, part: Text | ArcText) -> str:
        """Return a line of live text."""
        look = (
            f"font-family={quoteattr(self.setter.families(part.face))} "
            f'font-size="{number(part.size)}" fill="{part.color}"'
        )
        if part.face.weight == "bold":
            look += ' font-weight="600"'
        if part.face.style == "italic":
            look += ' font-style="italic"'
        words = escape(self.setter.line(part.text, part.face).text)
        if isinstance(part, Text):
            anchor = f' text-anchor="{part.anchor}"' if part.anchor != "start" else ""
            turn = f" rotate({number(part.turn)})" if part.turn else ""
            at = f"translate({number(part.x)} {number(part.y)}){turn}"
            return f'<text transform="{at}"{anchor} {look}{class_of(part)}>{words}</text>'
        self.made += 1
        name = f"line-{self.made}"
        kerning = "" if self.attributes else ' style="font-kerning:none"'
        also = "along" if self.attributes else ""
        half = 80.0
        ends = (
            (part.middle + half, part.middle - half)
            if part.inwards
            else (part.middle - half, part.middle + half)
        )
        d = path_data((("M", place(part.radius, ends[0])), *arc_steps(part.radius, *ends)))
        return (
            f'<path id="{name}" d="{d}" fill="none"/>'
            f'<text text-anchor="middle" letter-spacing="{number(TRACKING * part.size)}" '
            f"{look}{class_of(part, also)}{kerning}>"
            f'<textPath href="#{name}" startOffset="50%">{words}</textPath></text>'
        )


def named(group: Group) -> dict[str, str]:
    """Return the attributes of a group in a file of its own."""
    return {"id": group.name, "class": group.kind}


def place_of(group: Group) -> str:
    """Return the attribute that says where the centre of a group lies."""
    if group.at == (0.0, 0.0):
        return ""
    return f' transform="translate({number(group.at[0])} {number(group.at[1])})"'


def class_of(part: Shape | Text | ArcText, also: str = "") -> str:
    """Return the attribute that says which tone of the sheet a colour is."""
    names = " ".join(filter(None, (part.role, also)))
    return f' class="{names}"' if names else ""


def shape_element(shape: Shape) -> str:
    """Return a path."""
    look = f'fill="{shape.fill or "none"}"'
    if shape.stroke:
        look += f' stroke="{shape.stroke}" stroke-width="{number(shape.width)}"'
        if shape.dash:
            look += f' stroke-dasharray="{" ".join(map(number, shape.dash))}"'
    return f'<path d="{path_data(shape.steps)}" {look}{class_of(shape)}/>'


def path_data(steps: Iterable[tuple[str, tuple[float, ...]]]) -> str:
    """Return steps as path data."""
    words = []
    for name, values in steps:
        if name == "A":
            radius, large, clockwise, x, y = values
            words.append(
                f"A{number(radius)} {number(radius)} 0 {large:.0f} {clockwise:.0f} "
                f"{number(x)} {number(y)}"
            )
        else:
            words.append(name + " ".join(map(number, values)))
    return "".join(words)


def number(value: float) -> str:
    """Return a number with a hundredth of what print can show, and no more signs than needed."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
