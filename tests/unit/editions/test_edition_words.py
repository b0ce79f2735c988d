"""What became of terms, in words; and which steps a changed sentence reruns."""

import pytest
from felloe.editions.handing_on.crosswalk_words import change_note
from felloe.editions.tables import TERMS
from felloe.editions.words import SET_SHOWN, in_parts
from felloe.provenance import files_of

BLANK = dict.fromkeys(TERMS.names, "") | {"change": "kept", "migration": "none"}


def test_nothing_is_noted_of_a_term_that_stayed():
    assert change_note(BLANK, ("2016", "2026")) == ""


def test_a_renamed_term_that_moved_is_noted_for_both():
    row = BLANK | {
        "change": "renamed", "label_older": "lye", "label": "caustic", "migration": "robust",
        "class_name_older": "Sour", "class_name_newer": "Basic",
    }  # fmt: skip
    assert change_note(row, ("2016", "2026")) == (
        "Renamed in edition 2026: 'lye' became 'caustic'. "
        "Another class in edition 2026 (robust): 2016: Sour to 2026: Basic."
    )


def test_nothing_is_noted_of_a_term_whose_classes_do_not_correspond():
    row = BLANK | {"migration": "no_correspondence", "class_name_older": "Sour"}
    assert change_note(row, ("2016", "2026")) == ""


def test_editions_that_were_sorted_in_parts_are_said_to_be():
    whole, parts = {"edition": "2016"}, {"edition": "2026", "in_parts": True}
    assert in_parts({"older": whole, "newer": whole}) == ""
    for record in ({"older": whole, "newer": parts}, {"older": parts, "newer": whole}):
        said = in_parts(record)
        assert "of 2026 were shown some" in said
        assert "those of 2016 sorted all" in said
        assert SET_SHOWN in said
    assert in_parts({"older": parts, "newer": parts}).startswith("In both editions")


@pytest.mark.parametrize(
    ("step", "tells"),
    [
        ("compare_editions", False),
        ("draw_editions", True),
        ("report_editions", True),
    ],
)
def test_a_changed_sentence_reruns_what_prints_it_and_no_comparison(step, tells):
    names = [path.as_posix() for path in files_of(step)]
    assert any(name.endswith("felloe/editions/words.py") for name in names) is tells


def test_a_changed_page_reruns_the_report_and_nothing_else():
    page = "felloe/editions/page.html.j2"
    read_by = [
        step
        for step in ("compare_editions", "draw_editions", "report_editions")
        if any(path.as_posix().endswith(page) for path in files_of(step))
    ]
    assert read_by == ["report_editions"]
