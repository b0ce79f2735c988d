"""Swatches in the plain-text palette format that GIMP, Inkscape, Krita and others read (GPL)."""

from collections.abc import Iterable, Sequence

from felloe.colours.spaces import srgb_of_hex

COLUMNS = 8  # swatches side by side, where a program asks
LONGEST_LINE = 100  # bytes with the line end; some readers refuse the file for a longer line
CUT = "\u2026"

Swatch = tuple[str, str]  # name, `#rrggbb`


def gpl_palette(name: str, swatches: Iterable[Swatch], remarks: Sequence[str] = ()) -> str:
    """
    Return a palette as text.

    Parameters
    ----------
    name : str
        Of the palette.
    swatches : iterable of (str, str)
        Name and `#rrggbb`, in order.
    remarks : sequence of str
        Said in comments above the colours.

    Returns
    -------
    str
        In UTF-8 no line of a name is longer than `LONGEST_LINE` bytes: longer names are cut.
    """
    title = "Name: "
    title += cut_to(LONGEST_LINE - len(title) - 1, in_one_line(name))
    head = ["GIMP Palette", title, f"Columns: {COLUMNS}"]
    head += ["#", *(f"# {in_one_line(remark)}" for remark in remarks)]
    return "\n".join([*head, *(swatch_line(*swatch) for swatch in swatches)]) + "\n"


def swatch_line(name: str, colour: str) -> str:
    """Return the line of one colour: red, green, blue from 0 to 255, a tab, the name."""
    red, green, blue = (round(255 * part) for part in srgb_of_hex([colour])[0].tolist())
    levels = f"{red:3d} {green:3d} {blue:3d}\t"
    return levels + cut_to(LONGEST_LINE - len(levels) - 1, in_one_line(name))


def in_one_line(text: str) -> str:
    """Return text without line ends and tabs, which mean something in the format."""
    return " ".join(text.split())


def cut_to(size: int, text: str) -> str:
    """Return text of at most `size` bytes; what is cut ends in an ellipsis."""
    data = text.encode()
    if len(data) <= size:
        return text
    return data[: size - len(CUT.encode())].decode(errors="ignore").rstrip() + CUT
