"""Lines as glyphs: what no font has is named, what runs backwards is set backwards, or refused."""

import unicodedata

import pytest
from felloe.errors import StudyError
from felloe.report.typeface.faces import BOLD, FACES, PLAIN, behind_folder, font_files
from felloe.report.typeface.shaping import Typesetter, clusters, runs_backwards
from felloe.report.typeface.subsets import Used, family_of, subset_of, used_fonts
from fontTools.ttLib import TTFont

SERIF = behind_folder() / "DejaVuSerif.ttf"


@pytest.fixture(scope="module")
def setter():
    return Typesetter()


@pytest.mark.parametrize("face", FACES, ids=str)
@pytest.mark.parametrize("text", ["oiled", "nnn", "MHOD", "0000"])
def test_a_line_is_as_wide_as_the_advances_that_its_font_states(setter, text, face):
    # letters that the font neither kerns nor joins; advances read by fontTools
    path = setter.chain(face)[0]
    with TTFont(path) as font:
        names, advances = font.getBestCmap(), font["hmtx"]
        width = sum(advances[names[ord(one)]][0] for one in text) / font["head"].unitsPerEm
    assert setter.width(text, face) == pytest.approx(width, abs=0.02)


def test_ink_reaches_as_far_as_the_outlines(setter):
    line = setter.line("pÅg")
    heights = [
        glyph.y + y
        for glyph in line.glyphs
        for _, points in setter.outline(glyph, PLAIN)
        for _, y in points
    ]
    assert line.top == pytest.approx(max(heights), abs=0.002)
    assert line.bottom == pytest.approx(-min(heights), abs=0.002)


def test_letters_apart_from_their_accents_are_set_like_whole_ones(setter):
    whole = "crème fraîche, jalapeño"
    assert setter.line(unicodedata.normalize("NFD", whole)) == setter.line(whole)


@pytest.mark.parametrize(
    ("text", "letter"),
    [("味噌", "U+5473"), ("น้ำส้ม", "U+0E19"), ("खट्टा", "U+0916"), ("김치", "U+AE40")],
    ids=["Japanese", "Thai", "Devanagari", "Korean"],
)
def test_letters_that_no_font_has_are_named_with_what_to_do(setter, text, letter):
    (fault,) = setter.faults({"the term miso": text})
    assert str(fault).startswith(f"wheel: '{text}': the term miso has letters")
    assert letter in fault.problem
    assert "`wheel.fonts`" in fault.remedy


@pytest.mark.parametrize("text", ["кислый", "ξινό", "bún chả", "ţară", "€ & ½", "γρ′"])
def test_other_letters_of_europe_are_there(setter, text):
    assert setter.faults({"x": text}) == []


def test_further_fonts_come_before_the_one_that_stands_behind():
    hebrew, with_further = "שמנת", Typesetter((behind_folder() / "DejaVuSansMono.ttf", SERIF))
    assert [path.name for path in font_files(PLAIN, with_further.further)][1:3] == [
        "DejaVuSansMono.ttf",
        "DejaVuSerif.ttf",
    ]
    (piece,) = with_further.line(hebrew).pieces
    chain = with_further.chain(PLAIN)
    assert has(chain[piece.font], hebrew)
    assert not any(has(path, hebrew) for path in chain[: piece.font])


def has(path, text):
    """Return whether a font has all letters of a text, by its own table."""
    with TTFont(path) as font:
        return all(ord(one) in font.getBestCmap() for one in text)


def test_hebrew_stands_from_right_to_left(setter):
    line = setter.line("שמן")
    first = [setter.line(one).glyphs[0].number for one in "שמן"]
    assert [glyph.number for glyph in line.glyphs] == first[::-1]
    assert not line.plain


def test_arabic_letters_are_joined(setter):
    # heh alone, and at the start, in the middle and at the end of a word: four glyphs
    alone = {glyph.number for glyph in setter.line("ه").glyphs}
    word = [glyph.number for glyph in setter.line("ههه").glyphs]
    assert len(set(word)) == 3
    assert not alone & set(word)


@pytest.mark.parametrize("text", ["שמן oil", "حامض 5", "حامض ٥"])
def test_a_line_of_both_directions_is_refused_and_never_reversed(setter, text):
    with pytest.raises(ValueError, match="both directions"):
        setter.line(text)


def test_digits_alone_run_forwards():
    assert not runs_backwards("12 3/4")


def test_marks_stay_with_their_letters():
    assert clusters("e\u0301a\u0323\u0302") == ["e\u0301", "a\u0323\u0302"]


def test_a_file_that_is_no_font_is_named(tmp_path):
    path = tmp_path / "notes.ttf"
    path.write_text("no font", encoding="utf-8")
    with pytest.raises(StudyError, match=r"notes.ttf.*Name a"):
        Typesetter((path,)).line("味")


def test_a_subset_has_the_letters_and_is_small(setter):
    class Part:
        text, face = "crème fraîche", BOLD

    (used,) = used_fonts([Part()], setter)
    cut = subset_of(used)
    assert len(cut) < 12_000
    assert cut == subset_of.__wrapped__(used)  # made again, not kept
    assert (used.family, used.weight) == (family_of(used.path), 600)
    assert set(used.letters) == set("crème fraîche")


def test_the_parts_of_a_letter_that_shaping_takes_apart_are_in_the_subset(tmp_path):
    used = Used(behind_folder() / "DejaVuSans.ttf", "DejaVu Sans", 400, "normal", "\u0e4d\u01c4")
    path = tmp_path / "cut.ttf"
    path.write_bytes(subset_of(used))
    with TTFont(path) as font:
        assert {ord("D"), ord("Z"), 0x01C4} <= set(font.getBestCmap())
