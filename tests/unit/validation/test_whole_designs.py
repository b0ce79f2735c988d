"""A design that shows everybody every term says in what order, and makes no study in parts."""

import csv
import shutil

import numpy as np
import pytest
from felloe.validation.intake.sorts.parts import in_parts
from felloe.validation.intake.study import read_study
from openpyxl import Workbook
from partial_example import (
    N_TERMS,
    design_rows,
    example,
    term_ids,
    write_partial_study,
)
from study_folder import LIMITS, canonical, write_rows

PILES, SHOWN = example()
ALL = np.ones(SHOWN.shape, dtype=bool)


@pytest.fixture
def study(tmp_path):
    """Everybody was shown every term, and a design says in which order."""
    write_partial_study(tmp_path / "study", PILES, ALL)
    return tmp_path / "study"


def rows_of(path):
    with open(path, encoding="utf-8", newline="") as stream:
        return list(csv.reader(stream))


def test_it_is_the_same_study_as_with_these_places_in_its_sorts(study, tmp_path):
    plain = tmp_path / "plain"
    shutil.copytree(study, plain)
    (plain / "design.csv").unlink()
    places = {(person, term): place for person, term, place in design_rows(ALL)[1:]}
    sorts = rows_of(plain / "sorts.csv")
    placed = [[*row, places[row[0], row[1]]] for row in sorts[1:]]
    write_rows(plain / "sorts.csv", [[*sorts[0], "position"], *placed])
    assert canonical(study, tmp_path / "a") == canonical(plain, tmp_path / "b")
    found = read_study(study, LIMITS)
    assert found.shown is None
    assert (found.positions > 0).all()


def test_who_was_shown_everything_and_did_not_come_changes_nothing(study, tmp_path):
    before = canonical(study, tmp_path / "a")
    absent = [["absent", term, place] for place, term in enumerate(term_ids(), 1)]
    write_rows(study / "design.csv", [*rows_of(study / "design.csv"), *absent])
    assert not in_parts(study)
    assert canonical(study, tmp_path / "b") == before


@pytest.mark.parametrize("separator", [",", ";"])
def test_every_form_of_a_whole_design_is_whole(study, separator):
    text = (study / "design.csv").read_text("utf-8").replace(",", separator)
    (study / "design.csv").write_bytes(b"\xef\xbb\xbf\r\n" + text.replace("\n", "\r\n").encode())
    assert not in_parts(study)


def test_a_spreadsheet_is_looked_at_too(study):
    book = Workbook()
    for row in rows_of(study / "design.csv"):
        book.active.append(row)
    (study / "design.csv").unlink()
    book.save(study / "design.xlsx")
    assert not in_parts(study)
    book.active.delete_rows(2)
    book.save(study / "design.xlsx")
    assert in_parts(study)


def test_no_design_is_no_study_in_parts(study):
    (study / "design.csv").unlink()
    assert not in_parts(study)


CHANGES = {
    "one line less": lambda rows: rows.pop(),
    "a person less one term, another once more": lambda rows: rows[1].__setitem__(
        0, rows[N_TERMS + 1][0]
    ),
    "an empty term": lambda rows: rows[1].__setitem__(1, ""),
    "only a header": lambda rows: rows.__setitem__(slice(1, None), []),
    "no header": lambda rows: rows.pop(0),
}


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES)
def test_less_than_everything_for_anybody_is_a_study_in_parts(study, change):
    rows = rows_of(study / "design.csv")
    change(rows)
    write_rows(study / "design.csv", rows)
    assert in_parts(study)


@pytest.mark.parametrize("name", ["design.csv", "terms.csv"])
def test_what_cannot_be_read_at_a_glance_is_left_to_the_check(study, name):
    (study / name).write_bytes(b"\xff\xfe\x00")
    assert in_parts(study)


def test_a_new_word_of_the_lexicon_makes_parts_of_it(study):
    # nobody was shown it: it is neither "not placed" nor apart
    write_rows(study / "terms.csv", [*rows_of(study / "terms.csv"), ["zest", "Zest"]])
    assert in_parts(study)


def test_a_design_in_two_forms_is_left_to_the_check(study):
    Workbook().save(study / "design.xlsx")
    assert in_parts(study)
