"""Every text of a card stands whole, within its margins, clear of every other, in 7 pt or more."""

from itertools import combinations

import pytest
from card_example import LETTERING, chart_with, group, prose, setter_of, term
from felloe.report.cards.lettering import right_to_left, tidied
from felloe.report.cards.pieces import Box, Stroke, Writing
from felloe.report.cards.pouring import SIZES
from felloe.report.cards.setting import HEIGHT, MARGIN, WIDTH
from felloe.report.typeface.breaking import broken, joined
from fontTools.ttLib import TTFont

HAIR, CLEAR = 0.05, 1.0  # mm: what rounding may do, and what a frame leaves around its text
LENGTHS = [0, 1, 40, 150, 300, 450, 600, 750, 900, 1050, 1200, 1350, 1500]
STUDIES = {
    "definitions of 0 to 1,500 characters": [
        term(f"t{length}", definition=prose(length, length)) for length in LENGTHS
    ],
    "texts as long as the intake lets them be": [
        term("long", **dict.fromkeys(("definition", "reference", "caution"), prose(4000)))
    ],
    "words longer than a line": [
        term("word", label="m" * 200, definition="w" * 1500, caution="x" * 600)
    ],
    "labels of 1 to 200 characters": [
        term(f"l{length}", label=prose(length, 7)) for length in (1, 8, 20, 40, 80, 200)
    ],
    "nothing said": [
        term("bare", definition=None, reference=None, caution=None, status="undecided")
    ],
    "no colour, smelt only": [
        term(
            f"s{at}",
            definition=prose(500 * at, at),
            caution=f"Smell only. {prose(500 * at, at)}" if at < 3 else None,
            reference="Smell only: 5 g.",
            status="undecided",
            colour={"used": "#b5524b", "picked": picked, "reason": reason},
        )
        for at, (picked, reason) in enumerate(
            [(None, "tint_unpicked"), ("#a04a44", "tint_two_groups")] * 2
        )
    ],
    "long words about the status": [
        term("first", label=prose(200, 3)),
        term("moved", status="moved", decision={"beside": "first"}, definition=prose(700)),
    ],
    "other scripts": [
        term("hebrew", label="\u05e9\u05d5\u05dd", definition="\u05e8\u05d9\u05d7 5 g " * 60),
        term("greek", label="\u03a3\u03ba\u03cc\u03c1\u03b4\u03bf", definition="x\u2032 " * 200),
    ],
}
CAUTIONS = {"no cautions of its own": (), "the longest cautions": (prose(400, 5),)}


@pytest.fixture(scope="module", params=[(a, b) for a in STUDIES for b in CAUTIONS], ids=str)
def sheets(request):
    terms, cautions = request.param
    return list(setter_of(chart_with(STUDIES[terms]), CAUTIONS[cautions]).sheets())


def extent(piece):
    if isinstance(piece, Writing):
        return piece.box(LETTERING)
    height = piece.height if isinstance(piece, Box) else 0.0
    return piece.x, piece.y, piece.x + piece.width, piece.y + height


def meet(one, other):
    return all(
        one[side] + HAIR < other[side + 2] and other[side] + HAIR < one[side + 2] for side in (0, 1)
    )


def test_every_piece_stands_within_the_margins(sheets):
    for sheet in sheets:
        for piece in sheet.pieces:
            left, top, right, bottom = extent(piece)
            assert MARGIN - HAIR <= left <= right <= WIDTH - MARGIN + HAIR, piece
            assert MARGIN - HAIR <= top <= bottom <= HEIGHT - MARGIN + HAIR, piece


def test_no_two_texts_meet_and_none_lies_on_a_colour_or_a_line(sheets):
    for sheet in sheets:
        texts = [piece for piece in sheet.pieces if isinstance(piece, Writing)]
        for one, other in combinations(texts, 2):
            assert not meet(extent(one), extent(other)), (one, other)
        filled = [piece for piece in sheet.pieces if isinstance(piece, Box) and piece.fill]
        lines = [piece for piece in sheet.pieces if isinstance(piece, Stroke)]
        for text in texts:
            for piece in filled + lines:
                assert not meet(extent(text), extent(piece)), (text, piece)


def test_frames_hold_their_text_or_are_clear_of_it(sheets):
    for sheet in sheets:
        for frame in (each for each in sheet.pieces if isinstance(each, Box) and not each.fill):
            held = 0
            for text in (each for each in sheet.pieces if isinstance(each, Writing)):
                if meet(extent(text), extent(frame)):
                    inside, room = extent(text), extent(frame)
                    assert room[0] + CLEAR <= inside[0] < inside[2] <= room[2] - CLEAR
                    assert room[1] + CLEAR <= inside[1] < inside[3] <= room[3] - CLEAR
                    held += 1
            assert held >= 2


def test_nothing_is_set_smaller_than_7_points(sheets):
    assert min(piece.size for s in sheets for piece in s.pieces if isinstance(piece, Writing)) >= 7


@pytest.mark.parametrize("study", STUDIES)
def test_every_text_is_on_the_cards_whole_and_in_order(study):
    for laid in setter_of(chart_with(STUDIES[study])).laid:
        for block in laid.card.blocks:
            runs = [run for part in laid.parts for run in part.runs if run.block == block]
            assert joined([line for run in runs for line in run.lines]) == block.text
        if caution := laid.card.caution:
            pinned = [part.pinned for part in laid.parts]
            runs = (
                pinned[:1]
                if all(pinned)
                else [run for part in laid.parts for run in part.runs if run.block == caution]
            )
            assert joined([line for run in runs for line in run.lines]) == caution.text


def test_a_text_shrinks_before_it_takes_a_second_card():
    sizes, cards = [], []
    for length in LENGTHS:
        (laid,) = setter_of(chart_with([term("t", definition=prose(length, 1))])).laid[1:]
        sizes.append(laid.parts[0].size)
        cards.append(len(laid.parts))
    assert cards == sorted(cards)
    assert (cards[0], sizes[0]) == (1, max(SIZES))
    single = [size for size, count in zip(sizes, cards) if count == 1]
    assert single == sorted(single, reverse=True)
    assert len(set(single)) > 2
    assert cards[-1] == 2


def test_each_of_several_cards_says_which_it_is_and_where_the_text_goes_on():
    terms = [term("t", definition=prose(4000))]
    sheets = list(setter_of(chart_with(terms)).sheets())[1:]
    assert len(sheets) > 2
    for number, sheet in enumerate(sheets, start=1):
        texts = [piece.text for piece in sheet.pieces if isinstance(piece, Writing)]
        assert f"1 / 1 \u00b7 {number} of {len(sheets)}" in texts
        goes_on = f"Continues on card {number + 1} of {len(sheets)}."
        assert (goes_on in texts) == (number < len(sheets))
        assert "Term t" in texts
        assert "None known." in texts


def test_general_and_own_cautions_stand_on_every_sheet():
    terms = [term("a", definition=prose(4000)), term("b")]
    for sheet in setter_of(chart_with(terms), ("Wear gloves.", "No flames.")).sheets():
        said = " ".join(piece.text for piece in sheet.pieces if isinstance(piece, Writing))
        for words in ("allergens", "food grade", "smell-only", "Do not swallow", "licensed"):
            assert words in said
        assert "Wear gloves. No flames." in said


def test_a_divider_names_its_subclasses_and_numbers_even_if_there_are_many():
    subclasses = [
        {**group(f"s{at}", name=prose(60, at)), "terms": [term(f"t{at}")], "absorbed": []}
        for at in range(60)
    ]
    setter = setter_of(chart_with([], classes=[{**group("top"), "subclasses": subclasses}]))
    parts = setter.laid[0].parts
    told = dict.fromkeys(run.block.text for part in parts for run in part.runs)
    assert list(told) == ["60 words", *(f"{prose(60, at)} \u00b7 1 word" for at in range(60))]
    assert len(parts) > 1


@pytest.mark.parametrize("style", ["plain", "strong"])
def test_a_width_is_the_sum_of_the_advances_in_the_font_file(style):
    # `n` is kerned with no `n`; hmtx is read by fontTools, the width shaped by HarfBuzz
    font = TTFont(LETTERING.paths[style])
    advance = font["hmtx"][font.getBestCmap()[ord("n")]][0] / font["head"].unitsPerEm
    assert LETTERING.width("n" * 10, style, 72) == pytest.approx(10 * advance * 25.4)


def test_a_line_is_filled_as_far_as_it_goes():
    lines = [line.text for line in broken("aa bb cc dddd", 5.3, len)]
    assert lines == ["aa bb", "cc", "dddd"]
    assert [line.text for line in broken("abcdefgh", 3.3, len)] == ["abc", "def", "gh"]
    assert broken("", 5, len) == []


def test_a_mark_stays_with_its_letter_when_a_word_is_cut():
    text = "q\u0303" * 6
    assert [line.text for line in broken(text, 4.5, len)] == ["q\u0303q\u0303"] * 3


def test_texts_are_tidied_but_keep_what_holds_together():
    assert tidied(" a\n b\u2009c\u00a0d e\u0301 ") == "a b c\u00a0d \u00e9"
    assert tidied(None) == ""


@pytest.mark.parametrize(
    ("text", "left"), [("5 \u05d0b", True), ("a\u05d0", False), ("12", False), ("", False)]
)
def test_the_first_letter_says_which_way_a_text_runs(text, left):
    assert right_to_left(text) is left
