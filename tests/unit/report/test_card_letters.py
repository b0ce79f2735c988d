"""The letters of the cards: measured, joined, read in their direction, or named as missing."""

import re
from io import BytesIO

import pytest
from card_example import LETTERING, chart_with, prose, setter_of, term
from card_reading import outlined, pages_of, squeezed, texts_of
from felloe.errors import StudyError
from felloe.report.cards.fonts import font_files
from felloe.report.cards.lettering import Lettering
from felloe.report.cards.letters import check_letters
from felloe.report.cards.page import cards_page
from felloe.report.cards.pdf import blank, cards_pdf
from pypdf import PdfReader


@pytest.mark.parametrize("style", LETTERING.paths)
@pytest.mark.parametrize("text", ["Avalanche of AVAs, 5 g", prose(70, 4), "office, fjord", "n"])
def test_a_line_is_drawn_as_wide_as_it_was_measured(style, text, tmp_path):
    # fpdf2 shapes and measures by itself
    pdf = blank(setter_of(chart_with([term("a")])).deck, LETTERING, tmp_path)
    pdf.add_page()
    pdf.set_font(style, size=10)
    width = pdf.get_string_width(text)
    pdf.output()  # closes the fonts
    assert width == pytest.approx(LETTERING.width(text, style, 10), abs=0.05)


def test_hebrew_is_read_as_it_was_written_and_arabic_is_joined():
    hebrew, arabic = "\u05e9\u05d5\u05dd", "\u062b\u0648\u0645"
    reader, _ = pages_of(chart_with([term("a", label=hebrew), term("b", label=arabic)]))
    _, below = outlined(reader)
    assert below == [hebrew, arabic]
    # the first letter of the word is the rightmost on the page
    shown = list(setter_of(chart_with([term("a", label=hebrew)])).sheets())[1]
    (name,) = [each for each in shown.pieces if getattr(each, "text", "") == hebrew]
    assert name.to_the_left


def test_a_line_runs_as_its_text_does_even_if_it_starts_with_another_script():
    hebrew = "\u05e9\u05d5\u05dd"
    text = f"{hebrew * 11} water {hebrew}"  # the second line starts with the word in Latin letters
    (_, card) = setter_of(chart_with([term("a", definition=text)])).laid
    assert [line.text for line in card.parts[0].runs[0].lines] == [hebrew * 11, f"water {hebrew}"]
    reader, _ = pages_of(chart_with([term("a", definition=text)]))
    laid_out = reader.pages[1].extract_text(extraction_mode="layout")  # in order from left to right
    (line,) = [line for line in laid_out.splitlines() if "water" in line]
    assert re.match(r"\s*[\u05d0-\u05ea]{3}\s+water\s*$", line)


@pytest.mark.parametrize(
    ("changes", "named"),
    [
        ({"label": "\u65e5\u672c"}, ("term a", "\u65e5 (U+65E5)", "\u672c (U+672C)")),
        ({"definition": "good \u0e01"}, ("term a", "U+0E01")),
        ({"caution": "\u0915"}, ("term a", "U+0915")),
    ],
)
def test_letters_that_no_font_has_are_named_with_their_term(changes, named):
    with pytest.raises(StudyError) as refusal:
        check_letters(setter_of(chart_with([term("a", **changes), term("b")])).deck, LETTERING)
    message = str(refusal.value)
    assert all(word in message for word in named)
    assert "term b" not in message
    assert "wheel.fonts" in message


def test_a_font_of_the_study_brings_letters_that_the_others_lack(tmp_path):
    # a font made here, with the one letter A at the place of U+65E5
    from fontTools.fontBuilder import FontBuilder
    from fontTools.pens.ttGlyphPen import TTGlyphPen

    pen = TTGlyphPen(None)
    pen.moveTo((0, 0))
    for point in ((500, 0), (500, 700), (0, 700)):
        pen.lineTo(point)
    pen.closePath()
    builder = FontBuilder(1000, isTTF=True)
    builder.setupGlyphOrder([".notdef", "day"])
    builder.setupCharacterMap({0x65E5: "day"})
    builder.setupGlyf({".notdef": TTGlyphPen(None).glyph(), "day": pen.glyph()})
    builder.setupHorizontalMetrics({".notdef": (600, 0), "day": (600, 0)})
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupNameTable({"familyName": "One", "styleName": "Regular"})
    builder.setupOS2()
    builder.setupPost()
    builder.save(tmp_path / "one.ttf")
    lettering = Lettering(font_files([tmp_path / "one.ttf"]))
    deck = setter_of(chart_with([term("a", label="x \u65e5", definition="\u65e5" * 300)])).deck
    check_letters(deck, lettering)
    texts = texts_of(PdfReader(BytesIO(cards_pdf(deck, lettering))))
    assert texts[1].count("\u65e5") == 301
    assert cards_page(deck, lettering).count("@font-face") == 4  # it serves both weights


def test_a_font_that_is_none_is_named(tmp_path):
    (tmp_path / "none.ttf").write_text("no font", encoding="utf-8")
    with pytest.raises(StudyError, match=r"none\.ttf: is no font"):
        Lettering(font_files([tmp_path / "none.ttf"])).width("a", "plain", 7)


def test_letters_of_two_fonts_may_meet_in_one_text():
    text = "\u0410 x\u2032 \ua7c8 \u1e9e"  # each is in one of both fonts at least
    has = [LETTERING.letters[style] for style in ("plain", "plain-1")]
    letters = {ord(each) for each in text if each != " " and any(ord(each) in one for one in has)}
    mixed = " ".join(map(chr, sorted(letters)))
    check_letters(setter_of(chart_with([term("a", definition=mixed)])).deck, LETTERING)
    _, texts = pages_of(chart_with([term("a", definition=mixed)]))
    assert squeezed(mixed) in texts[1]
