"""Every word in its room, on charts of many sizes; judged by the ink, see `sheet_geometry`."""

import numpy as np
import pytest
from felloe.errors import StudyError
from felloe.report.sheet.drawing import draw_sheet
from felloe.report.sheet.paper import A3, A4
from felloe.report.sheet.shapes import Sheet
from felloe.report.sheet.sheets import a3_sheet, a4_sheet
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
        a3_sheet(chart, typesetter(), 0.5)


def test_too_many_labels_are_a_fault_before_anything_is_drawn(tmp_path):
    chart = chart_of(tmp_path, n_classes=9, n_terms=400, words=labels(3, 400, 12, 12))
    with pytest.raises(StudyError, match="too close to the next one for 6 pt on A3"):
        a3_sheet(chart, typesetter(), 0.5)


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
