"""What products say of a chart stands in one place, and so do the tones of pages."""

import re

import pytest
from felloe.colours.contrast import contrast_ratio
from felloe.ground import drawing
from felloe.provenance import LIBRARY
from felloe.report.chart import chart_terms
from felloe.report.languages.language_words import interface_words
from felloe.report.screen.page_style import dark_line
from felloe.report.sheet.sheets import described, who_sorted
from felloe.report.tones import DARK_TONES, TONES, css_variables, scheme_variables
from test_chart import chart_of


def sorted_by(chart):
    return who_sorted(chart, interface_words("en"))


STYLES = ("report/screen/wheel.css", "report/telling/frame.html.j2")


@pytest.fixture(scope="module")
def chart(tmp_path_factory):
    return chart_of(tmp_path_factory.mktemp("words"), n_classes=3, n_terms=14)


def test_data_are_called_invented_only_where_the_title_says_so(chart):
    assert "invented" in sorted_by(chart)
    assert "invented" not in sorted_by({**chart, "title": "Words of the guild"})


def test_a_chart_of_one_population_says_whose_it_is(chart):
    one, *others = chart["populations"]
    apart = {**chart, "populations": [one, *({**each, "charted": False} for each in others)]}
    assert f"The chart is that of {one['label']} alone." in sorted_by(apart)
    assert "alone" not in sorted_by(chart)


def test_a_provisional_chart_says_so_first(chart):
    assert not sorted_by(chart).startswith("PROVISIONAL")
    assert sorted_by({**chart, "provisional": True}).startswith("PROVISIONAL: it cannot be told")


def test_both_marks_stand_first_in_the_sentence(chart):
    first, _, second = sorted_by({**chart, "provisional": True, "preview": True}).partition(
        "PREVIEW: "
    )
    assert first.startswith("PROVISIONAL: ")
    assert second.startswith("computed with few replicates")


def test_a_preview_says_so_to_readers_who_listen(chart):
    assert described({**chart, "preview": True}, interface_words("en")).startswith("PREVIEW: ")
    assert "PREVIEW" not in described(chart, interface_words("en"))


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
    assert set(DARK_TONES) == set(TONES)


def test_the_tones_of_pages_are_those_of_figures():
    assert f"--ink: {drawing.INK};" in css_variables()
    assert f"--muted: {drawing.MUTED};" in css_variables()


@pytest.mark.parametrize("tones", [TONES, DARK_TONES], ids=["light", "dark"])
@pytest.mark.parametrize("ground", ["paper", "ground", "warning"])
@pytest.mark.parametrize("tone", ["ink", "muted", "accent"])
def test_every_tone_can_be_read_on_every_ground(tone, ground, tones):
    # WCAG 2, success criterion 1.4.3
    assert contrast_ratio(tones[tone], tones[ground]) >= 4.5


@pytest.mark.parametrize("colour", ["#000000", "#1d2a6b", "#335566", "#ffffff", "#e8d44d"])
def test_lines_of_classes_are_seen_on_a_dark_page(colour):
    # WCAG 2, success criterion 1.4.11
    assert contrast_ratio(dark_line(colour), DARK_TONES["paper"]) >= 3.0


def test_a_line_that_is_seen_on_a_dark_page_stays_as_it_is():
    assert dark_line("#e8d44d") == "#e8d44d"


def test_a_switch_outdoes_the_device():
    rules = scheme_variables({"ink": "#111111"}, {"ink": "#eeeeee"})
    device, switched = rules.index("prefers-color-scheme: dark"), rules.index("data-scheme=dark")
    assert ":not([data-scheme=light])" in rules[device:switched]


@pytest.mark.parametrize(
    ("least", "largest", "said"),
    [(60, 60, "Each was shown 60 of the "), (40, 60, "Each was shown 40 to 60 of the ")],
)
def test_a_sheet_says_how_many_terms_each_was_shown(chart, least, largest, said):
    n_terms = len(list(chart_terms(chart, True)))
    dealt = {"least": least, "median": 60, "largest": largest}
    assert f"{said}{n_terms} terms." in sorted_by({**chart, "terms_per_participant": dealt})
    assert "Each was shown" not in sorted_by(chart)


@pytest.mark.parametrize(("largest", "said"), [(60, "60"), (80, "60 to 80")])
def test_a_sheet_does_not_say_of_everybody_what_holds_but_for_a_few(chart, largest, said):
    n_terms = len(list(chart_terms(chart, True)))
    dealt = {"least": 60, "median": 60, "largest": largest, "but_a_few": True}
    told = sorted_by({**chart, "terms_per_participant": dealt})
    assert f"All but a few were shown {said} of the {n_terms} terms." in told
    assert "Each was shown" not in told
