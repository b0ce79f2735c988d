"""Fonts with cubic outlines rewritten with quadratic ones, which a PDF carries as TrueType."""

from pathlib import Path
from tempfile import mkdtemp
from typing import Any

from felloe.report.typeface.subsets import broken_as_fault

FINENESS = 1000.0  # units of a size to one that an outline may be off


def as_truetype(path: Path, folder: Path) -> Path:
    """
    Return a font file that may be embedded as TrueType.

    Parameters
    ----------
    path : Path
    folder : Path
        Where the rewritten file is put.

    Returns
    -------
    Path
        The same file, but for one whose cubic outlines (CFF) have names: as TrueType it would be
        mislabelled. Outlines with numbers instead of names are embedded as what they are.
    """
    from fontTools.ttLib import TTFont

    with broken_as_fault(path), TTFont(path, fontNumber=0, recalcTimestamp=False) as font:
        if "CFF " not in font or hasattr(font["CFF "].cff.topDictIndex[0], "ROS"):
            return path
        rewrite(font)
        made = Path(mkdtemp(dir=folder)) / f"{path.stem}.ttf"
        font.save(made)
    return made


def rewrite(font: Any) -> None:
    """Put quadratic outlines in the place of a font's cubic ones."""
    from fontTools.pens.cu2quPen import Cu2QuPen
    from fontTools.pens.ttGlyphPen import TTGlyphPen
    from fontTools.ttLib import newTable

    glyphs, drawn = font.getGlyphSet(), {}
    for name in font.getGlyphOrder():
        pen = TTGlyphPen(glyphs)
        glyphs[name].draw(Cu2QuPen(pen, font["head"].unitsPerEm / FINENESS, reverse_direction=True))
        drawn[name] = pen.glyph()
    font["loca"], font["glyf"] = newTable("loca"), newTable("glyf")
    font["glyf"].glyphOrder, font["glyf"].glyphs = font.getGlyphOrder(), drawn
    for name, glyph in drawn.items():  # a reader puts an outline where its metrics say
        glyph.recalcBounds(font["glyf"])
        font["hmtx"][name] = font["hmtx"][name][0], getattr(glyph, "xMin", 0)
    font["maxp"] = most = newTable("maxp")
    most.tableVersion, most.numGlyphs = 0x00010000, len(drawn)
    for name in (
        "maxTwilightPoints", "maxStorage", "maxFunctionDefs", "maxInstructionDefs",
        "maxStackElements", "maxSizeOfInstructions",
    ):  # fmt: skip
        setattr(most, name, 0)
    most.maxZones = 1
    for table in ("CFF ", "VORG"):
        if table in font:
            del font[table]
    post = font["post"]
    post.formatType, post.extraNames, post.mapping = 2.0, [], {}
    font.sfntVersion = "\x00\x01\x00\x00"
