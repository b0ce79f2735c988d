"""Fonts of other kinds, made of one that the tests have: CFF outlines, collections."""

from felloe.report.typeface.faces import behind_folder
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.qu2cuPen import Qu2CuPen
from fontTools.pens.t2CharStringPen import T2CharStringPen
from fontTools.ttLib import TTCollection, TTFont


def opentype(path, letters, name="Cut"):
    """Write a font with CFF outlines that has some letters of DejaVu Sans."""
    with TTFont(behind_folder() / "DejaVuSans.ttf") as source:
        glyphs, names = source.getGlyphSet(), source.getBestCmap()
        cmap = {ord(letter): names[ord(letter)] for letter in letters}
        drawn = {".notdef": 600, **{glyph: glyphs[glyph].width for glyph in cmap.values()}}
        outlines = {}
        for glyph, wide in drawn.items():
            pen = T2CharStringPen(wide, glyphs)
            glyphs[glyph].draw(Qu2CuPen(pen, 1.0, all_cubic=True))
            outlines[glyph] = pen.getCharString()
        size = source["head"].unitsPerEm
    font = FontBuilder(size, isTTF=False)
    font.setupGlyphOrder(list(drawn))
    font.setupCharacterMap(cmap)
    font.setupCFF(name, {"FullName": name}, outlines, {})
    font.setupHorizontalMetrics({glyph: (wide, 0) for glyph, wide in drawn.items()})
    font.setupHorizontalHeader(ascent=int(0.9 * size), descent=-int(0.25 * size))
    font.setupNameTable({"familyName": name, "styleName": "Regular"})
    font.setupOS2()
    font.setupPost()
    font.save(path)
    return path


def collection(path, *files):
    """Write fonts into one file."""
    fonts = TTCollection()
    fonts.fonts = [TTFont(file) for file in files]
    fonts.save(path)
    return path
