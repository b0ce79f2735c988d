"""The colour of a cell: typed as a code, or given to the cell itself."""

import colorsys
import re
from typing import Any

CODE = re.compile(r"#?([0-9a-fA-F]{6})")
SHORT = re.compile(r"#?([0-9a-fA-F]{3})")
# a theme's colours stand in the file as dark, light, dark, light; a cell counts light first
THEME_ORDER = (1, 0, 3, 2, 4, 5, 6, 7, 8, 9, 10, 11)
SCHEME = re.compile(rb"<a:clrScheme.*?</a:clrScheme>", re.DOTALL)
ENTRY = re.compile(rb"""(?:srgbClr val|lastClr)=["']([0-9a-fA-F]{6})["']""")
NO_CODE = (
    "is no colour",
    "Write # and six of 0-9 and a-f, for example #8fbc8f, or give the cell itself the colour.",
)
TWO = ("is another colour than that of the cell", "Keep one of the two.")
NO_PLAIN = ("the cell has a pattern, or a colour that cannot be told", "Fill it with one colour.")


def colour_of(cell: Any, typed: str) -> str | tuple[str, str]:
    """
    Return the colour of a cell.

    Parameters
    ----------
    cell : cell
        As openpyxl reads it.
    typed : str
        Its text.

    Returns
    -------
    str, or (problem, remedy)
        `#rrggbb` in small letters; empty where the cell has none.
    """
    filled = fill_of(cell)
    if not typed or isinstance(filled, tuple):
        return filled
    code = CODE.fullmatch(typed)
    short = SHORT.fullmatch(typed)
    if code:
        told = f"#{code[1].lower()}"
    elif short:
        told = "#" + "".join(2 * letter for letter in short[1].lower())
    else:
        return NO_CODE
    return TWO if filled and filled != told else told


def fill_of(cell: Any) -> str | tuple[str, str]:
    """Return the colour that a cell is filled with, empty where it is not."""
    fill = getattr(cell, "fill", None)
    kind = getattr(fill, "fill_type", None)
    if fill is None or kind in (None, "none"):
        return ""
    colour = getattr(fill, "fgColor", None)
    if kind != "solid" or colour is None:
        return NO_PLAIN
    if colour.type == "rgb" and re.fullmatch(r"[0-9A-Fa-f]{8}", str(colour.rgb)):
        base = str(colour.rgb)[2:].lower()
    elif colour.type == "theme":
        base = of_theme(cell.parent.parent.loaded_theme, int(colour.theme))
    elif colour.type == "indexed":
        base = of_index(int(colour.indexed))
    else:
        base = ""
    return f"#{tinted(base, float(colour.tint or 0.0))}" if base else NO_PLAIN


def of_theme(theme: bytes | None, place: int) -> str:
    """Return a colour of a workbook's theme, empty if there is none."""
    scheme = SCHEME.search(theme or b"")
    if not scheme or not 0 <= place < len(THEME_ORDER):
        return ""
    entries = ENTRY.findall(scheme[0])
    at = THEME_ORDER[place]
    return entries[at].decode().lower() if at < len(entries) else ""


def of_index(place: int) -> str:
    """Return a colour of the old palette, empty for that of the window or of the system."""
    from openpyxl.styles.colors import COLOR_INDEX

    return str(COLOR_INDEX[place])[2:].lower() if 0 <= place < min(64, len(COLOR_INDEX)) else ""


def tinted(code: str, tint: float) -> str:
    """
    Return a colour made lighter or darker.

    References
    ----------
    ECMA-376 (2016), Part 1, 18.8.19: luminance times 1 + tint below zero, else what is left to
    white taken times tint (from memory).
    """
    if not tint:
        return code
    red, green, blue = (int(code[at : at + 2], 16) / 255 for at in (0, 2, 4))
    hue, light, saturation = colorsys.rgb_to_hls(red, green, blue)
    light = light * (1 + tint) if tint < 0 else light * (1 - tint) + tint
    parts = colorsys.hls_to_rgb(hue, min(max(light, 0.0), 1.0), saturation)
    return "".join(f"{round(255 * part):02x}" for part in parts)
