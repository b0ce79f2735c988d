"""The sizes of paper, each with its measures, and the radii that follow from them."""

from dataclasses import dataclass, fields, replace
from math import pi

from felloe.ground.drawing import POINT_MM

SMALLEST = 6.0 * POINT_MM  # of anything on a sheet
STEP = 0.25 * POINT_MM
LEAST_TERM = 1.0  # millimetres of the rim that a term has on a wheel without words
A3_RADIUS = 139.0  # of the wheel on A3
# of larger paper than A3: width and height in millimetres (ISO 216), lengths beside those of A3
ENLARGED = {"a2": (420.0, 594.0, 2**0.5), "a1": (594.0, 841.0, 2.0), "a0": (841.0, 1189.0, 2**1.5)}
# nobody prints these, yet a page can be looked at so closely (DIN 476)
CLOSER = {"2a0": (1189.0, 1682.0, 4.0), "4a0": (1682.0, 2378.0, 2**2.5)}
ALIKE = (
    "name",
    "width",
    "height",
    "centre",
    "hub",
    "tree",
    "clear",
    "worded",
)  # no lengths, or given


@dataclass(frozen=True)
class Format:
    """
    A size of paper with its measures, in millimetres.

    Attributes
    ----------
    name : str
    width, height : float
    centre : (float, float)
        Of the wheel, from the upper left corner.
    radius : float
        Of the rim's outer edge.
    felloe, tyre : float
        Depth of a class's arc, and of its outer band.
    name_depth : float
        Room for the names of subclasses.
    rim : float
        Depth of the evidence.
    dot : float
        Radius of a picked colour.
    hub : float
        Least radius of the tree, as a share of `radius`.
    tree : float
        Its largest radius, likewise.
    words, classes, subclasses : float
        Largest size of the type of terms, and of names.
    title, note, key : float
        Sizes of the type beside the wheel.
    hairline, branch : float
        Widths of lines.
    margin : float
    clear : float
        Kept free between two words, in sizes of the type.
    worded : bool
        Whether terms are written; if not, the tree reaches as far as their words would.
    """

    name: str
    width: float
    height: float
    centre: tuple[float, float]
    radius: float
    felloe: float
    tyre: float
    name_depth: float
    rim: float
    dot: float
    hub: float
    tree: float
    words: float
    classes: float
    subclasses: float
    title: float
    note: float
    key: float
    hairline: float
    branch: float
    margin: float
    clear: float
    worded: bool = True

    @property
    def k(self) -> float:
        """The scale beside A3, in which lengths of the drawing are told."""
        return self.radius / A3_RADIUS


A3 = Format(
    name="a3", width=297.0, height=420.0, centre=(148.5, 199.0), radius=A3_RADIUS, felloe=16.0,
    tyre=2.8, name_depth=9.6, rim=4.4, dot=1.25, hub=0.26, tree=0.43, words=13.5 * POINT_MM,
    classes=22 * POINT_MM, subclasses=10.5 * POINT_MM, title=27 * POINT_MM, note=10 * POINT_MM,
    key=8.6 * POINT_MM, hairline=0.16, branch=0.34, margin=14.0, clear=0.14,
)  # fmt: skip


A4 = Format(
    name="a4", width=210.0, height=297.0, centre=(105.0, 139.5), radius=100.0, felloe=10.2,
    tyre=1.8, name_depth=6.7, rim=2.6, dot=0.9, hub=0.25, tree=0.42, words=9.5 * POINT_MM,
    classes=15.5 * POINT_MM, subclasses=7.6 * POINT_MM, title=19 * POINT_MM, note=7.5 * POINT_MM,
    key=6.4 * POINT_MM, hairline=0.13, branch=0.26, margin=10.0, clear=0.05,
)  # fmt: skip


def enlarged(form: Format, name: str) -> Format:
    """
    Return a format as it is on larger paper than A3; only the least size of type stays.

    Parameters
    ----------
    form : Format
        As it is on A3.
    name : {"a2", "a1", "a0", "2a0", "4a0"}
    """
    width, height, times = (ENLARGED | CLOSER)[name]
    lengths = {
        each.name: times * getattr(form, each.name)
        for each in fields(form)
        if each.name not in ALIKE
    }
    across, down = form.centre
    return replace(
        form,
        name=name,
        width=width,
        height=height,
        centre=(times * across, times * down),
        **lengths,
    )


def sizes_of(form: Format, closer: bool = False) -> tuple[Format, ...]:
    """Return a format as it is on A3 to A0, and for a page that can be looked at closer."""
    names = [*ENLARGED, *(CLOSER if closer else ())]
    return (form, *(enlarged(form, name) for name in names))


def unworded(form: Format, terms: int) -> Format:
    """
    Return a format without words, on the least paper on which the rim shows every term.

    Parameters
    ----------
    form : Format
        As it is on A3.
    terms : int
    """
    sizes = [replace(size, worded=False, tree=1.0) for size in sizes_of(form)]
    enough = (size for size in sizes if 2 * pi * rings_of(size).rim[1] >= LEAST_TERM * terms)
    return next(enough, sizes[-1])


@dataclass(frozen=True)
class Rings:
    """
    Radii of a sheet, from the rim inwards.

    Attributes
    ----------
    outer, tyre, felloe : float
        Of the rim: outer edge, inner edge of the band, inner edge of the classes.
    names : (float, float)
        Outer and inner edge of the room of the names of subclasses.
    subclass : float
        Their arcs.
    rim : (float, float)
        Outer and inner edge of the evidence.
    dot : float
        Middle of the picked colours.
    word : float
        Outer end of the terms.
    """

    outer: float
    tyre: float
    felloe: float
    names: tuple[float, float]
    subclass: float
    rim: tuple[float, float]
    dot: float
    word: float


def rings_of(form: Format) -> Rings:
    """Return the radii of a sheet."""
    k = form.k
    felloe = form.radius - form.felloe
    names = felloe - 0.9 * k, felloe - 0.9 * k - form.name_depth
    subclass = names[1] - 0.5 * k
    rim = subclass - 1.1 * k, subclass - 1.1 * k - form.rim
    dot = rim[1] - 1.0 * k - form.dot
    return Rings(
        form.radius, form.radius - form.tyre, felloe, names, subclass, rim, dot,
        dot - form.dot - 1.2 * k,
    )  # fmt: skip
