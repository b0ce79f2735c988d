"""Cards in a study's own font: with cubic outlines too, what the PDF carries is what it says."""

from io import BytesIO

import pytest
from card_example import chart_with, term
from felloe.report.cards.deck import deck_of
from felloe.report.cards.fonts import font_files
from felloe.report.cards.lettering import Lettering
from felloe.report.cards.pdf import cards_pdf
from felloe.report.typeface.faces import PLAIN
from felloe.report.typeface.faces import font_files as files_of
from felloe.report.typeface.quadratic import as_truetype
from font_files import opentype
from fontTools.pens.areaPen import AreaPen
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from pypdf import PdfReader

TIFINAGH = "\u2d30\u2d31\u2d32"
# what a TrueType font program begins with (OpenType, table directory); one of CFF has "OTTO"
TRUETYPE = b"\x00\x01\x00\x00"


@pytest.fixture(scope="module")
def cubic(tmp_path_factory):
    return opentype(tmp_path_factory.mktemp("fonts") / "Cut.otf", TIFINAGH)


def measures(path):
    """Return advance, area and bounds of every glyph; the way round of an outline left aside."""
    with TTFont(path) as font:
        glyphs, found = font.getGlyphSet(), {}
        for name in font.getGlyphOrder():
            area, bounds = AreaPen(glyphs), BoundsPen(glyphs)
            glyphs[name].draw(area)
            glyphs[name].draw(bounds)
            found[name] = [glyphs[name].width, abs(area.value), *(bounds.bounds or ())]
        return found


def test_a_pdf_of_cards_carries_cubic_outlines_as_the_truetype_that_it_says(cubic):
    lettering = Lettering(font_files([cubic]))
    deck = deck_of(chart_with([term("a", definition=TIFINAGH)]), {"cautions": []})
    made = cards_pdf(deck, lettering)
    page = PdfReader(BytesIO(made)).pages[1]
    assert TIFINAGH in page.extract_text()
    carried = {}
    for font in page["/Resources"]["/Font"].values():
        below = font["/DescendantFonts"][0]
        assert below["/Subtype"] == "/CIDFontType2"
        carried[font["/BaseFont"]] = below["/FontDescriptor"]["/FontFile2"].get_data()
    assert any(name.endswith("Cut") for name in carried)
    assert {data[:4] for data in carried.values()} == {TRUETYPE}
    assert cards_pdf(deck, lettering) == made


def test_letters_keep_their_room_and_their_shape(cubic, tmp_path):
    before, after = measures(cubic), measures(as_truetype(cubic, tmp_path))
    assert len(before) > len(TIFINAGH)
    assert list(after) == list(before)
    for name, told in before.items():
        assert after[name] == pytest.approx(told, rel=0.01, abs=3)


def test_a_truetype_font_stays_the_file_that_it_is(tmp_path):
    (family, *_) = files_of(PLAIN)
    assert as_truetype(family, tmp_path) == family
    assert list(tmp_path.iterdir()) == []
