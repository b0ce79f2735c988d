"""The top of the page: the title with its marks, what is not settled, what was moved."""

import re

import pytest
from felloe.report.chart import chart_terms
from felloe.report.languages.language_words import interface_words
from felloe.report.screen.page_entries import open_questions
from felloe.report.screen.wheel_page import wheel_page
from felloe.report.typeface.shaping import typesetter
from test_chart import chart_of

# as `marks` in the files of words has them in short
MARKS = {"en": ("provisional", "preview"), "de": ("vorläufig", "Vorschau")}


@pytest.fixture(scope="module")
def chart(tmp_path_factory):
    return chart_of(tmp_path_factory.mktemp("head"), n_classes=4, n_terms=24)


def head_of(chart):
    """Return title and heading of the page, without what they are marked up with."""
    page = wheel_page(chart, typesetter(), 0.5)
    found = (re.search(rf"<{tag}[ >].*?</{tag}>", page) for tag in ("title", "h1"))
    return [re.sub("<[^>]*>", "", each[0]) for each in found]


@pytest.mark.parametrize("language", MARKS)
@pytest.mark.parametrize(("provisional", "preview"), [(0, 0), (0, 1), (1, 0), (1, 1)])
def test_title_and_heading_have_every_mark_of_the_chart(chart, language, provisional, preview):
    borne = [mark for mark, there in zip(MARKS[language], (provisional, preview)) if there]
    marked = {"provisional": bool(provisional), "preview": bool(preview), "language": language}
    expected = chart["title"] + (f" ({' · '.join(borne)})" if borne else "")
    assert head_of({**chart, **marked}) == [expected, expected]


def test_what_is_not_settled_is_told_and_what_was_moved_as_on_the_sheet(chart):
    told = open_questions(chart, interface_words("en"))
    status = {f"term-{term['id']}": term["status"] for *_, term in chart_terms(chart)}
    listed = [link[0] for link in told]
    assert sorted(listed) == sorted(key for key, each in status.items() if each != "firm")
    moved = [link for link in told if status[link[0]] == "moved"]
    assert 0 < len(moved) < len(told)
    assert told[-len(moved) :] == moved
    for link in told:
        assert ("placed by the committee" in link[2]) == (link in moved)


def test_a_class_of_one_word_says_so_in_the_list(chart):
    found = ((c, s, t) for c, s, t in chart_terms(chart) if t["status"] == "doubtful")
    class_, subclass, term = next(found)
    alone = {**subclass, "terms": [term], "absorbed": []}
    lone = {**class_, "name": term["label"], "subclasses": [alone]}
    (told,) = open_questions({**chart, "classes": [lone]}, interface_words("en"))
    assert told[2].endswith("a class of one word")
