"""`pile_words.csv`: what people called their piles, held against the sorts."""

import pytest
from felloe.validation.intake.study import read_study
from felloe.validation.tables import PILE_WORDS
from study_folder import (
    LIMITS,
    TERMS,
    canonical,
    faults_of,
    long_rows,
    pile_of,
    wide_rows,
    write_folder,
)

HEADER = ["participant", "pile", "words"]
PERSON = "p3"


def said(folder, *rows, **more):
    return write_folder(folder, {"pile_words.csv": [HEADER, *rows]}, **more)


@pytest.mark.parametrize("layout", ["long", "wide"])
def test_words_stand_beside_the_pile_that_was_meant(tmp_path, layout):
    term = TERMS[3]
    own = pile_of(PERSON, term)
    changed = {
        "sorts.csv": long_rows() if layout == "long" else wide_rows(),
        "pile_words.csv": [HEADER, [PERSON, f"0{own}", " Two  words "]],
    }
    folder = write_folder(tmp_path, changed, layout)
    study = read_study(folder, LIMITS)
    (row,) = study.pile_words
    at = study.register.participants.index(PERSON)
    lies_in = {term for term, pile in zip(sorted(TERMS), study.piles[at]) if pile == row["pile"]}
    assert lies_in == {one for one in TERMS if pile_of(PERSON, one) == own}
    assert row["words"] == "Two  words"


def test_a_study_without_words_has_a_table_without_rows(tmp_path):
    found = canonical(write_folder(tmp_path / "study"), tmp_path / "out")
    assert found["pile_words"].decode() == ",".join(PILE_WORDS.names) + "\n"


def test_an_apostrophe_that_guards_a_formula_is_taken_off(tmp_path):
    folder = said(tmp_path, [PERSON, pile_of(PERSON, TERMS[0]), "'=1+1"])
    assert read_study(folder, LIMITS).pile_words[0]["words"] == "=1+1"


@pytest.mark.parametrize(
    ("row", "told"),
    [
        (["p99", "1", "x"], "unknown participant"),
        ([PERSON, "77", "x"], "has no such pile"),
        ([PERSON, "", "x"], "is empty where a pile belongs"),
        ([PERSON, "1", ""], "is empty where wording belongs"),
        ([PERSON, "1", "a\u202eb"], "invisible control character"),
    ],
)
def test_a_row_that_fits_no_sort_is_told_with_its_line(tmp_path, row, told):
    (fault,) = faults_of(said(tmp_path, row))
    assert (fault.file, fault.line) == ("pile_words.csv", 2)
    assert told in fault.problem


def test_two_wordings_for_one_pile_are_told(tmp_path):
    own = pile_of(PERSON, TERMS[0])
    (fault,) = faults_of(said(tmp_path, [PERSON, own, "x"], [PERSON, own, "y"]))
    assert "stands twice" in fault.problem


def test_a_spreadsheet_of_words_is_told(tmp_path):
    folder = write_folder(tmp_path)
    (folder / "pile_words.xlsx").write_bytes(b"PK")
    assert "Save its sheet as pile_words.csv" in str(faults_of(folder)[0])


def test_the_table_is_declared_to_tell_of_people():
    assert PILE_WORDS.personal
