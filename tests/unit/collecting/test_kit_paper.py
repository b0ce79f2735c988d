"""The paper set: every card in its order, what is asked word for word, whose tally sheet it is."""

import io
import re

import pytest
from felloe.collecting.asked import Card, Consent
from felloe.collecting.paper.flowing import HEIGHT, MARGIN, WIDTH, Typeset
from felloe.collecting.paper.paper_pdf import check_letters, paper_pdf
from felloe.collecting.paper.paper_set import paper_sheets
from felloe.errors import StudyError
from felloe.report.cards.fonts import font_files
from felloe.report.cards.lettering import Lettering
from felloe.report.cards.pieces import Box, Writing
from kit_example import LABELS, asked_of
from pypdf import PdfReader

LETTERING = Lettering(font_files())
MANY = {f"t{number:03}": f"Word {number}" for number in range(100)}


def sheets(asked):
    return paper_sheets(asked, Typeset(LETTERING))


def texts(asked):
    return [[piece.text for piece in sheet.pieces if isinstance(piece, Writing)]
            for sheet in sheets(asked)]  # fmt: skip


def card_sheets(asked):
    """Return the pages that hold a frame for each card."""
    return [
        sheet
        for sheet in sheets(asked)
        if sum(isinstance(piece, Box) and piece.width > 50 for piece in sheet.pieces)
    ]


def test_the_same_task_gives_the_same_bytes_of_a4():
    data = paper_pdf(asked_of(), LETTERING)
    assert data == paper_pdf(asked_of(), LETTERING)
    pages = PdfReader(io.BytesIO(data)).pages
    # 210 by 297 mm in points of 1/72 inch
    sizes = {(round(float(page.mediabox.width)), round(float(page.mediabox.height)))
             for page in pages}  # fmt: skip
    assert sizes == {(595, 842)}
    assert len(pages) == 4


def test_the_text_can_be_read_out_of_the_file():
    text = "\n".join(
        page.extract_text()
        for page in PdfReader(io.BytesIO(paper_pdf(asked_of(), LETTERING))).pages
    )
    asked = asked_of()
    for told in (
        asked.instruction,
        asked.consent.purpose,
        asked.consent.withdraw,
        *LABELS.values(),
    ):
        assert told in text
    assert asked.identity.terms[:8] in text


def test_cards_are_numbered_in_the_order_in_which_they_are_seen():
    labels = dict(reversed(MANY.items()))
    found = []
    for sheet in card_sheets(asked_of(labels=labels)):
        words = [piece for piece in sheet.pieces if isinstance(piece, Writing)][:-1]
        found += [(int(words[at].text), words[at + 2].text) for at in range(0, len(words), 3)]
    assert found == list(enumerate(labels.values(), 1))


def test_every_card_has_its_number_word_and_box_on_the_tally_sheet():
    for number in (4, 6, 99, 100, 101, 240):
        labels = {f"t{n:03}": f"Word {n}" for n in range(number)}
        pages = texts(asked_of(labels=labels))
        tallies = [page for page in pages if page[0] == "Tally sheet"]
        told = [text for page in tallies for text in page]
        numbers = [int(text) for text in told if re.fullmatch(r"\d+", text)]
        assert numbers == list(range(1, number + 1))
        assert [text for text in told if text in set(labels.values())] == list(labels.values())
        assert all(page[1:6:2] == ["Study: ", "Code: ", "Words: "] for page in tallies)


def test_a_few_long_words_stand_whole_on_the_tally_sheet():
    labels = {f"t{n:02}": f"Word {n} (seed, sunflower, pumpkin, lin and more)" for n in range(24)}
    told = [text for page in texts(asked_of(labels=labels)) if page[0] == "Tally sheet"
            for text in page]  # fmt: skip
    assert set(labels.values()) <= set(told)


@pytest.mark.parametrize(
    "label",
    ["Word", "W" * 200, "long words " * 18, "Donaudampfschifffahrtsgesellschaft", "ביחד טעם"],
)
def test_nothing_leaves_its_page_or_its_card(label):
    consent = Consent(True, "why " * 900, "what " * 900, "how", "who", "more " * 2000, True)
    labels = {**LABELS, "brine": label}
    for sheet in sheets(asked_of(labels=labels, consent=consent, instruction="do " * 300)):
        for piece in sheet.pieces:
            left, top, right, bottom = (
                piece.box(LETTERING)
                if isinstance(piece, Writing)
                else (piece.x, piece.y, piece.x + piece.width, piece.y)
            )
            assert left >= 8 - 1e-6
            assert right <= WIDTH - 8 + 1e-6
            assert top >= 7
            assert bottom <= HEIGHT - MARGIN + 2
    for sheet in card_sheets(asked_of(labels=labels)):
        boxes = [piece for piece in sheet.pieces if isinstance(piece, Box)]
        for piece in sheet.pieces:
            if isinstance(piece, Writing) and piece is not sheet.pieces[-1]:
                left, top, right, bottom = piece.box(LETTERING)
                assert any(
                    box.x <= left and right <= box.x + box.width
                    and box.y <= top + 0.5 and bottom <= box.y + box.height
                    for box in boxes
                )  # fmt: skip


def test_a_heading_does_not_stand_alone_at_the_foot():
    headings = {"What it is for", "What is stored", "How to withdraw", "Whom to ask"}
    for length in range(300, 1500, 60):
        consent = Consent(True, "why " * length, "what " * length, "how", "who", "", False)
        for page in texts(asked_of(consent=consent)):
            assert page[-2] not in headings


def test_minutes_are_asked_only_if_the_text_says_so():
    asked = [text for page in texts(asked_of()) for text in page]
    assert "Minutes: " in asked
    without = Consent(True, "Why.", "What.", "How.", "Who.")
    assert "Minutes: " not in [text for page in texts(asked_of(consent=without)) for text in page]


def test_definitions_are_listed_only_where_they_are_shown():
    cards = tuple(Card(term, label, "A taste.") for term, label in LABELS.items())
    assert any("Brine: A taste." in text for page in texts(asked_of(cards=cards)) for text in page)
    assert not any("to look up" in text for page in texts(asked_of()) for text in page)


def test_letters_that_no_font_has_are_named_before_anything_is_made():
    with pytest.raises(StudyError) as refused:
        check_letters([asked_of(labels={**LABELS, "dill": "dill \U00012000"})], LETTERING)
    assert "term dill" in str(refused.value)
    assert "U+12000" in str(refused.value)
    assert "wheel.fonts" in str(refused.value)
    check_letters([asked_of()], LETTERING)
