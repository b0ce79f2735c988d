"""Every word in its room, on charts of many sizes; judged by the ink, see `sheet_geometry`."""

import numpy as np
import pytest
from felloe.errors import StudyError
from felloe.report.chart import chart_terms
from felloe.report.languages.language_words import interface_words
from felloe.report.screen.page_drawing import page_wheel
from felloe.report.sheet.drawing import draw_sheet
from felloe.report.sheet.paper import A3, A4, sizes_of
from felloe.report.sheet.shapes import Sheet, Text, leaves
from felloe.report.sheet.sheets import a4_sheet, wall_sheet
from felloe.report.sheet.svg import svg_of
from felloe.report.typeface.shaping import typesetter
from sheet_geometry import apart, named, own_texts, troubles
from test_chart import chart_of

LETTERS = np.array(list("abcdefghijklmnopqrstuvwxyzäéîøgjpqy"))


def labels(seed, count, shortest, longest, words=1):
    """Return labels of letters with feet and accents, of one word or more."""
    rng = np.random.default_rng(seed)
    found = []
    for _ in range(count):
        length = int(rng.integers(shortest, longest + 1))
        text = "".join(rng.choice(LETTERS, length))
        cuts = sorted(rng.choice(np.arange(1, length), min(words - 1, length - 1), replace=False))
        parts = [text[a:b] for a, b in zip([0, *cuts], [*cuts, length])]
        found.append(" ".join(parts))
    return tuple(dict.fromkeys(found))


PAPER = [(297, 420), (420, 594), (594, 841), (841, 1189)]  # A3 to A0, millimetres: ISO 216:2007


CASES = {  # classes, terms, shortest and longest label, words
    "eight short": (3, 8, 1, 6, 1),
    "eight of forty": (3, 8, 40, 40, 4),
    "twenty": (4, 20, 1, 25, 2),
    "forty in two classes": (2, 40, 3, 18, 2),
    "ninety-six": (9, 96, 3, 20, 2),
    "ninety-six in twelve": (12, 96, 1, 14, 1),
    "one hundred and fifty": (12, 150, 2, 16, 2),
    "one hundred and fifty of one letter": (7, 150, 1, 1, 1),
    "sixty of forty": (6, 60, 30, 40, 5),
    "twenty-four whole words of forty": (5, 24, 40, 40, 1),
}


@pytest.fixture(scope="module", params=CASES, ids=CASES)
def chart(request, tmp_path_factory):
    classes, terms, shortest, longest, words = CASES[request.param]
    some = labels(len(request.param), terms, shortest, longest, words)
    folder = tmp_path_factory.mktemp("chart")
    return chart_of(folder, n_classes=classes, n_terms=terms, words=some)


@pytest.mark.parametrize("form", [A3, A4], ids=lambda form: form.name)
def test_a_sheet_has_no_trouble(chart, form):
    setter = typesetter()
    drawn = draw_sheet(chart, form, setter, "A note on who sorted.", "", weak=0.5)
    if form is A4 and not isinstance(drawn, Sheet):
        pytest.skip("no A4 sheet for this chart")
    assert isinstance(drawn, Sheet)
    assert list(troubles(drawn, setter)) == []


def test_most_charts_have_an_a4_sheet(tmp_path):
    chart = chart_of(tmp_path, n_classes=9, n_terms=96, words=labels(5, 96, 3, 14, 2))
    assert a4_sheet(chart, typesetter(), 0.5)[1] == []


def test_a_label_without_room_on_a4_drops_a4_and_is_named(tmp_path):
    some = labels(1, 148, 4, 9) + ("a" * 40, "b" * 40)
    chart = chart_of(tmp_path, n_classes=9, n_terms=len(some), words=some)
    sheet, dropped = a4_sheet(chart, typesetter(), 0.5)
    assert {"a" * 40, "b" * 40} & set(dropped)
    assert list(troubles(sheet, typesetter())) == []
    assert (sheet.width, sheet.height) == (210.0, 297.0)


def test_a_label_without_room_on_a3_is_a_fault_that_names_it(tmp_path):
    some = labels(2, 19, 4, 9) + ("w" * 60,)
    chart = chart_of(tmp_path, n_classes=4, n_terms=20, words=some)
    with pytest.raises(StudyError, match=r"w{20}.*too long for 6 pt on A3"):
        wall_sheet(chart, typesetter(), 0.5)


@pytest.mark.parametrize("n_terms", [200, 300, 400])
def test_more_labels_are_set_on_the_next_larger_paper(tmp_path, n_terms):
    chart = chart_of(tmp_path, n_classes=9, n_terms=n_terms, words=labels(3, n_terms, 9, 9))
    sheet, setter = wall_sheet(chart, typesetter(), 0.5), typesetter()
    at = PAPER.index((sheet.width, sheet.height))
    assert at > 0
    smaller = sizes_of(A3)[at - 1]
    assert (smaller.width, smaller.height) == PAPER[at - 1]
    assert not isinstance(draw_sheet(chart, smaller, setter, "", "", weak=0.5), Sheet)
    assert list(troubles(sheet, setter)) == []
    terms = [part for group in named(sheet.body, "term") for part in own_texts(group)]
    assert len(terms) == len(list(chart_terms(chart)))
    assert min(part.size for part in terms) >= 6 * 25.4 / 72 - 1e-9


def test_the_page_draws_as_many_words_as_the_sheet(tmp_path):
    chart = chart_of(tmp_path, n_classes=9, n_terms=300, words=labels(3, 300, 9, 9))
    drawn = page_wheel(chart, typesetter(), 0.5, "", interface_words("en"))
    terms = {term["id"] for _, _, term in chart_terms(chart)}
    assert {word.entry["id"] for word in drawn.plan.words} == terms
    assert {f"term-{term}" for term in terms} <= drawn.attributes.keys()
    assert float(drawn.box.split()[2]) > 2 * drawn.plan.form.radius > 2 * A3.radius


def test_a_page_has_every_word_of_a_lexicon_that_no_sheet_has_room_for(tmp_path):
    chart = chart_of(tmp_path, n_classes=9, n_terms=1000, words=labels(3, 1000, 9, 14, 2))
    drawn = page_wheel(chart, typesetter(), 0.5, "", interface_words("en"))
    assert {word.entry["id"] for word in drawn.plan.words if word.lines} == {
        term["id"] for _, _, term in chart_terms(chart)
    }


def test_boxes_that_meet_are_seen():
    box = np.array([(0.0, 0.0), (2.0, 0.0), (2.0, 1.0), (0.0, 1.0)])
    turned = box @ np.array([[0.6, 0.8], [-0.8, 0.6]])
    assert not apart(box, box + (1.9, 0.0))
    assert apart(box, box + (2.1, 0.0))
    assert not apart(box, turned)


def test_the_two_sizes_of_paper_are_set_for_themselves(tmp_path):
    chart = chart_of(tmp_path, n_classes=9, n_terms=96)
    sizes = []
    for form in (A3, A4):
        drawn = draw_sheet(chart, form, typesetter(), "", "", weak=0.5)
        assert isinstance(drawn, Sheet)
        (term, *_) = [part for group in named(drawn.body, "term") for part in own_texts(group)]
        sizes.append(term.size)
    assert sizes[1] / sizes[0] > 1.03 * A4.height / A3.height


@pytest.mark.parametrize("n_terms", [800, 1000])
def test_a_lexicon_without_room_on_a0_has_a_wheel_without_words_that_says_so(tmp_path, n_terms):
    chart = chart_of(tmp_path, n_classes=9, n_terms=n_terms, words=labels(3, n_terms, 9, 14, 2))
    setter = typesetter()
    sheet = wall_sheet(chart, setter, 0.5)
    drawn = {group.name: group for group in named(sheet.body, "term")}
    entries = {f"term-{term['id']}": term for _, _, term in chart_terms(chart)}
    assert drawn.keys() == entries.keys()
    assert not any(own_texts(group) for group in drawn.values())
    assert list(troubles(sheet, setter)) == []
    told = " ".join(part.text for part in leaves(sheet.body) if isinstance(part, Text))
    assert f"{len(drawn)} words are not written on this wheel" in told
    assert "Not written here" in told
    assert 'class="unworded"' in svg_of(sheet, setter).partition("<title")[0]
    for group in drawn.values():  # its evidence can be seen, and keeps within the term's room
        entry = entries[group.name]
        wide = max(angles := angles_of(group)) - min(angles)
        assert 0.5 < wide / (entry["end_deg"] - entry["start_deg"]) < 1.0


def angles_of(group):
    """Return where the shapes of a group lie, in degrees from the middle of them."""
    ends = [step[1][-2:] for part in group.parts for step in getattr(part, "steps", ()) if step[1]]
    found = np.degrees([np.arctan2(x, -y) for x, y in ends])
    return (found - found[0] + 180) % 360 - 180
