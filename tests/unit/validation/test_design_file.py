"""`design.csv`: read, refused with file, line, column and cure, and what screening makes of it."""

import csv
import json

import numpy as np
import pytest
from felloe.errors import StudyError
from felloe.ground.people.sorts import UNPLACED
from felloe.validation.intake.study import read_study
from felloe.validation.received import read_received
from felloe.validation.screened.screening import check_left, screened
from openpyxl import Workbook
from partial_example import (
    design_rows,
    example,
    term_ids,
    write_partial_study,
)
from study_folder import CANONICAL, LIMITS, RULES, canonical, write_folder, write_rows

PILES, SHOWN = example()


def read(folder, most_unseen=0.05):
    return read_study(folder, LIMITS, most_unseen=most_unseen)


def faults(folder, most_unseen=0.05):
    with pytest.raises(StudyError) as refused:
        read(folder, most_unseen)
    return refused.value.faults


@pytest.fixture
def study(tmp_path):
    """A study in parts without a fault."""
    write_partial_study(tmp_path / "study", PILES, SHOWN)
    return tmp_path / "study"


def changed(folder, name, change):
    """Change the rows of a table; return its line of the first row that differs, from 1."""
    with open(folder / name, encoding="utf-8", newline="") as stream:
        rows = list(csv.reader(stream))
    before = [list(row) for row in rows]
    change(rows)
    write_rows(folder / name, rows)
    pairs = enumerate(zip(rows, [*before, *[None] * len(rows)], strict=False), 1)
    return next((line for line, (row, was) in pairs if row != was), None)


def test_what_was_not_shown_is_missing_and_no_fault(study):
    found = read(study)
    assert np.array_equal(found.shown, SHOWN)
    assert np.array_equal(found.piles != UNPLACED, SHOWN)


def test_places_in_the_design_are_taken_where_the_sorts_give_none(study):
    found = read(study)
    assert np.array_equal(np.sort(found.positions[0][SHOWN[0]]), np.arange(1, SHOWN[0].sum() + 1))
    assert found.positions[0][SHOWN[0]][:3].tolist() == [1, 8, 15]  # as the example deals them
    assert not found.positions[~SHOWN].any()


def test_the_wide_layout_and_a_spreadsheet_say_the_same(study, tmp_path):
    wide = tmp_path / "wide"
    write_partial_study(wide, PILES, SHOWN, "wide")
    book = Workbook()
    for row in design_rows(SHOWN):
        book.active.append(row)
    book.save(wide / "design.xlsx")
    (wide / "design.csv").unlink()
    one, other = read(study), read(wide)
    assert np.array_equal(one.piles, other.piles)
    assert np.array_equal(one.shown, other.shown)
    assert np.array_equal(one.positions, other.positions)


def test_a_shown_term_without_a_row_or_with_an_empty_pile_was_not_placed(study):
    terms = [term for term, there in zip(term_ids(), SHOWN[0], strict=True) if there]
    without, empty = terms[0], terms[1]

    def change(rows):
        rows.remove(next(row for row in rows if row[:2] == ["m000", without]))
        next(row for row in rows if row[:2] == ["m000", empty])[2] = ""

    changed(study, "sorts.csv", change)
    found = read(study)
    assert found.shown[0].sum() == len(terms)
    assert (found.piles[0] != UNPLACED).sum() == len(terms) - 2
    told = [note.problem for note in found.findings if note.value == "m000"]
    assert told == [f"a participant did not place 2 of {len(terms)} terms"]


@pytest.mark.parametrize("layout", ["long", "wide"])
def test_a_placement_of_a_term_that_was_not_shown_is_a_fault(tmp_path, layout):
    write_partial_study(tmp_path, PILES, SHOWN, layout)
    absent = term_ids()[int(np.flatnonzero(~SHOWN[3])[0])]

    def change(rows):
        if layout == "long":
            rows.append(["m003", absent, "7"])
        else:
            rows[4][rows[0].index(absent)] = "7"

    line = changed(tmp_path, "sorts.csv", change)
    (fault,) = faults(tmp_path)
    assert (fault.file, fault.line) == ("sorts.csv", line)
    assert fault.column == ("term" if layout == "long" else absent)
    assert fault.problem == f"participant 'm003' was not shown '{absent}' (design.csv)"
    assert "add it to design.csv" in fault.remedy


@pytest.mark.parametrize(
    ("change", "column", "problem"),
    [
        (lambda rows: rows.append(["m000", "t999", ""]), "term", "t999"),
        (lambda rows: rows.append(["No body", "t000", ""]), "participant", "No body"),
        (lambda rows: rows.append([*rows[1][:2], ""]), "participant", "m000"),
        (lambda rows: rows[2].__setitem__(2, rows[1][2]), "position", "saw two terms"),
        (lambda rows: rows[2].__setitem__(2, "second"), "position", "second"),
    ],
    ids=["unknown term", "no id", "twice", "one place twice", "no place"],
)
def test_a_row_that_does_not_fit_is_named_with_its_line(study, change, column, problem):
    line = changed(study, "design.csv", change)
    (fault,) = faults(study)
    assert (fault.file, fault.line) == ("design.csv", line)
    assert column in fault.column
    assert problem in f"{fault.value} {fault.problem}"
    assert fault.remedy


def test_who_was_given_a_set_and_did_not_come_is_passed_over_and_noted(study):
    before = read(study)
    changed(study, "design.csv", lambda rows: rows.append(["absent", "t000", "1"]))
    found = read(study)
    assert np.array_equal(found.shown, before.shown)
    told = [note for note in found.findings if "are not in participants.csv" in note.problem]
    assert [(note.file, note.severity) for note in told] == [("design.csv", "note")]
    assert told[0].problem.startswith("1 of the people in it")


def test_a_participant_who_was_shown_nothing_is_named(study):
    changed(study, "design.csv", lambda rows: rows.__setitem__(
        slice(None), [row for row in rows if row[0] != "m002"]))  # fmt: skip
    found = faults(study)
    assert ("design.csv", "m002") in {(fault.file, fault.value) for fault in found}


def test_a_term_that_nobody_was_shown_is_named(study):
    for name in ("design.csv", "sorts.csv"):
        changed(study, name, lambda rows: rows.__setitem__(
            slice(None), [row for row in rows if row[1] != "t005"]))  # fmt: skip
    (fault,) = faults(study)
    assert (fault.file, fault.value, fault.problem) == (
        "design.csv", "t005", "nobody was shown this term")  # fmt: skip


def test_a_design_without_its_columns_is_refused_and_nothing_else_is_told(study):
    changed(study, "design.csv", lambda rows: rows[0].__setitem__(1, "word"))
    assert {fault.file for fault in faults(study)} == {"design.csv"}


def test_too_many_unseen_pairs_are_refused_by_the_population_s_name(tmp_path):
    shown = SHOWN.copy()
    few = np.flatnonzero(shown[30:].any(axis=1)) + 30
    shown[few] = False
    shown[few[::2], :20] = True  # the panel's halves see halves of the lexicon
    shown[few[1::2], 20:] = True
    write_partial_study(tmp_path, PILES, shown)
    (fault,) = faults(tmp_path)
    assert (fault.file, fault.value) == ("design.csv", "panel")
    assert "400 of 780 pairs of terms (51.3%)" in fault.problem  # 20 by 20 of 40 * 39 / 2
    assert "matrices.most_unseen_pairs" in fault.problem
    assert read(tmp_path, 0.52).shown is not None


def written(folder, into):
    """Validate and write in one form; return the paths."""
    into.mkdir()
    canonical(folder, into)
    return {key: into / name for key, name in CANONICAL.items()}


def test_the_canonical_sorts_hold_what_was_shown_alone(study, tmp_path):
    paths = written(study, tmp_path / "one")
    received = read_received(paths["sorts"], paths["register"], prior=1.0)
    order = np.argsort(received.sorts.participants)
    assert np.array_equal(received.shown[order], SHOWN)
    assert np.array_equal(received.sorts.piles[order] != UNPLACED, SHOWN)
    assert received.sorts.prior == 1.0
    about = json.loads(paths["settings"].read_text(encoding="utf-8"))
    assert about["partial"] is True
    assert about["terms_per_participant"] == {"least": 16, "median": 16.0, "largest": 16}


def test_a_whole_study_is_written_as_before_and_says_nothing_of_parts(tmp_path):
    files = canonical(write_folder(tmp_path / "study"), tmp_path / "whole")
    assert b"partial" not in files["settings"]
    lines = files["sorts"].decode().splitlines()
    assert len(lines) == 1 + 8 * 6  # a row for each of 8 people and 6 terms


def test_screening_counts_what_was_shown(study, tmp_path):
    # of 16 terms shown, five are not placed: 31 %, above a quarter; of all 40 terms it were 12 %
    changed(study, "sorts.csv", lambda rows: [
        row.__setitem__(2, "") for row in rows[1:6] if row[0] == "m000"])  # fmt: skip
    paths = written(study, tmp_path / "one")
    received = read_received(paths["sorts"], paths["register"], prior=1.0)
    people = screened(received, term_ids(), RULES)
    by_name = {row["participant"]: row for row in people}
    assert by_name["m000"]["n_unplaced"] == 5
    assert list(by_name["m000"]["rules"]) == ["too_many_unplaced"]
    assert {row["n_unplaced"] for row in people} == {0, 5}
    assert {row["status"] for name, row in by_name.items() if name != "m000"} == {"kept"}


def test_seconds_are_of_the_terms_shown(study, tmp_path):
    rows = [["participant", "population", "minutes"], ["m000", "makers", "4"]]
    changed(study, "participants.csv", lambda table: table.__setitem__(slice(0, 2), rows))
    changed(study, "participants.csv", lambda table: [row.append("9") for row in table[2:]])
    paths = written(study, tmp_path / "one")
    received = read_received(paths["sorts"], paths["register"], prior=1.0)
    people = {row["participant"]: row for row in screened(received, term_ids(), RULES)}
    assert people["m000"]["seconds_per_term"] == 4 * 60 / 16


def test_too_few_left_by_screening_are_refused_by_the_share_of_unseen_pairs(study, tmp_path):
    paths = written(study, tmp_path / "one")
    received = read_received(paths["sorts"], paths["register"], prior=1.0)
    people = screened(received, term_ids(), RULES)
    for row in people:
        if row["population"] == "panel" and row["participant"] > "p009":
            row["status"] = "excluded"
    with pytest.raises(StudyError, match="nobody of 'panel' placed both of"):
        check_left(received.sorts, people, LIMITS, 0.05)
    check_left(received.sorts, people, LIMITS, 0.95)
