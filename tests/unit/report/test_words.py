"""What print and page both say stands in one place, and so do their tones."""

import re

import pytest
from felloe.colours.contrast import contrast_ratio
from felloe.ground import drawing
from felloe.provenance import LIBRARY
from felloe.report.figure_wheel import draw_wheel
from felloe.report.tones import TONES, css_variables
from felloe.report.wheel_page import wheel_page
from felloe.report.words import GAPS, NEIGHBOURS, ONLY_GAPS, counted
from felloe.tiers.mark_words import mark_meanings
from test_chart import chart_of

STYLES = ("report/wheel.css", "report/frame.html.j2")


@pytest.fixture(scope="module")
def chart(tmp_path_factory):
    return chart_of(tmp_path_factory.mktemp("words"), n_classes=3, n_terms=14)


def test_print_and_page_say_the_same_of_marks_and_gaps(chart):
    said = [*mark_meanings(chart["limits"]).values(), NEIGHBOURS, GAPS, ONLY_GAPS]
    printed = " ".join(text.get_text() for text in draw_wheel(chart, 420).axes[0].texts)
    page = wheel_page(chart)
    assert [words for words in said if words not in printed] == []
    assert [words for words in said if words not in page] == []


def test_print_and_page_count_the_same_classes(chart):
    classes = counted(chart)[0]
    assert classes == "3 classes"
    assert classes in [text.get_text() for text in draw_wheel(chart, 420).axes[0].texts]
    assert f">{classes}</tspan>" in wheel_page(chart)


def test_one_class_is_not_told_in_the_plural(tmp_path):
    assert counted(chart_of(tmp_path, n_classes=1, n_terms=3))[0] == "1 class"


@pytest.mark.parametrize("name", STYLES)
def test_a_page_has_no_tones_of_its_own(name):
    style = (LIBRARY / name).read_text(encoding="utf-8").partition("<body")[0]
    style = re.sub(r"&#[0-9]+;|#000\b", "", style)  # the focus ring is black on white, whatever
    assert re.findall(r"#[0-9a-fA-F]{3,8}\b", style) == []


@pytest.mark.parametrize("name", STYLES)
def test_every_tone_that_a_page_uses_is_declared(name):
    used = set(re.findall(r"var\(--([a-z]+)\)", (LIBRARY / name).read_text(encoding="utf-8")))
    assert used
    assert used <= set(TONES)


def test_the_tones_of_pages_are_those_of_figures():
    assert f"--ink: {drawing.INK};" in css_variables()
    assert f"--muted: {drawing.MUTED};" in css_variables()


@pytest.mark.parametrize("ground", ["paper", "ground", "warning"])
@pytest.mark.parametrize("tone", ["ink", "muted", "accent"])
def test_every_tone_can_be_read_on_every_ground(tone, ground):
    # WCAG 2, success criterion 1.4.3
    assert contrast_ratio(TONES[tone], TONES[ground]) >= 4.5
