"""`crosswalk.csv` by itself: what a row may say, and how one that may not is told."""

import csv
import io

import openpyxl
import pytest
from felloe.errors import StudyError
from felloe.validation.intake.study import read_study
from felloe.validation.tables import CROSSWALK
from study_folder import LIMITS, TERMS, canonical, faults_of, tables, write_folder, write_rows

HEADER = ["older", "newer", "relation", "reason"]
FIT = [
    ["crisp", "crisp", "exact", ""],
    ["dilly", "dill", "renamed", ""],
    ["garlic", "garlic", "redefined", "the clove alone, no more the leaf"],
    ["sour", "lactic;brine", "split", "salt and sourness were told apart"],
    ["ash;tar", "smoke", "merged", "nobody told them apart"],
    ["odd;bad", "", "retired", "says nothing"],
]


def said(folder, *rows, header=HEADER, **more):
    return write_folder(folder, {"crosswalk.csv": [header, *rows], **more})


def terms_with(**former):
    header, *rows = tables()["terms.csv"]
    return [[*header, "renamed_from"], *([*row, former.get(row[0], "")] for row in rows)]


def test_a_crosswalk_is_read_with_its_lines(tmp_path):
    rows = read_study(said(tmp_path, *FIT), LIMITS).crosswalk
    assert [(row["line"], row["relation"]) for row in rows] == [
        (number, row[2]) for number, row in enumerate(FIT, start=2)
    ]
    assert rows[3]["newer"] == ("lactic", "brine")
    assert rows[5]["older"] == ("odd", "bad")
    assert rows[5]["newer"] == ()


def test_a_table_with_semicolons_between_cells_and_ids_is_read(tmp_path):
    folder = write_folder(tmp_path)
    write_rows(folder / "crosswalk.csv", [HEADER, *FIT], delimiter=";")
    rows = read_study(folder, LIMITS).crosswalk
    assert rows[3]["newer"] == ("lactic", "brine")


def test_a_study_without_a_crosswalk_has_a_table_without_rows(tmp_path):
    found = canonical(write_folder(tmp_path / "study"), tmp_path / "out")
    assert found["crosswalk"].decode() == ",".join(CROSSWALK.names) + "\n"


def unread(study):
    said = "this file is not read"
    return [(note.file, note.problem) for note in study.findings if said in note.problem]


@pytest.mark.parametrize("name", ["crosswalk-draft.csv", "crosswalk-draft.xlsx"])
def test_the_file_that_the_settings_name_is_read_in_place_of_the_usual_one(tmp_path, name):
    folder = said(tmp_path, FIT[1])
    if name.endswith(".csv"):
        write_rows(folder / name, [HEADER, FIT[5]])
    else:
        book = openpyxl.Workbook()
        for row in (HEADER, FIT[5]):
            book.active.append(row)
        book.save(folder / name)
    usual = read_study(folder, LIMITS)
    assert [row["relation"] for row in usual.crosswalk] == ["renamed"]
    assert unread(usual) == [(name, "this file is not read")]
    named = read_study(folder, LIMITS, crosswalk=name)
    assert [row["relation"] for row in named.crosswalk] == ["retired"]
    assert unread(named) == [("crosswalk.csv", "this file is not read: the settings name another")]


def test_a_draft_alone_is_told_how_it_is_named(tmp_path):
    folder = write_folder(tmp_path)
    write_rows(folder / "crosswalk-1.csv", [HEADER, FIT[1]])
    (fault,) = faults_of(folder)
    assert fault.file == "crosswalk-1.csv"
    assert "Rename it, or name it under `crosswalks` in the settings." in fault.remedy


def test_faults_of_a_crosswalk_that_the_settings_name_are_told_of_that_file(tmp_path):
    folder = write_folder(tmp_path)
    write_rows(folder / "crosswalk-draft.csv", [HEADER, ["a", "nowhere", "renamed", ""]])
    with pytest.raises(StudyError) as caught:
        read_study(folder, LIMITS, crosswalk="crosswalk-draft.csv")
    (fault,) = caught.value.faults
    assert (fault.file, fault.line, fault.column) == ("crosswalk-draft.csv", 2, "newer")


def test_the_order_around_the_circle_knows_renamed_terms_of_either_file(tmp_path):
    changed = {"terms.csv": terms_with(brine="lye")}
    folder = said(tmp_path / "study", ["dilly", "dill", "renamed", ""], **changed)
    sectors = canonical(folder, tmp_path / "out")["sectors"].decode()
    former = {row["term"]: row["renamed_from"] for row in csv.DictReader(io.StringIO(sectors))}
    assert {term: was for term, was in former.items() if was} == {"brine": "lye", "dill": "dilly"}


ONE_FAULT = {
    "an unknown relation": (["a", "dill", "renmed", ""], "relation", "no relation", "'renamed'"),
    "an unknown term": (["a", "dil", "renamed", ""], "newer", "unknown term", "'dill'"),
    "an unknown term of several": (
        ["a", "dill;smok", "split", "why"], "newer", "'smok': unknown term", "'smoke'",
    ),
    "no identifier": (["A b", "dill", "renamed", ""], "older", "no identifier", "'a-b'"),
    "a term twice in one cell": (
        ["a", "dill;dill", "split", "why"], "newer", "names 'dill' twice", "Name it once",
    ),
    "an end without a term": (["a;", "dill", "merged", "why"], "older", "is empty", "Fill"),
    "exact of two ids": (["a", "dill", "exact", ""], "newer", "not the older id", "renamed"),
    "renamed under one id": (["dill", "dill", "renamed", ""], "newer", "older id too", "exact"),
    "split into one": (
        ["a", "dill", "split", "why"], "newer", "takes two or more newer terms", "renamed",
    ),
    "merged from one": (
        ["a", "dill", "merged", "why"], "older", "takes two or more older terms", "renamed",
    ),
    "renamed to two": (["a", "dill;smoke", "renamed", ""], "newer", "one newer term", "split"),
    "new with an older one": (["a", "dill", "new", ""], "older", "no older term", "Leave older"),
    "retired without a term": (["", "", "retired", "why"], "older", "one or more", "Name"),
    "retired without a reason": (["a", "", "retired", ""], "reason", "is empty", "few words"),
    "merged into two": (
        ["a;b", "dill;smoke", "merged", "why"], "newer", "takes one newer term", "for each newer",
    ),
    "split of two": (
        ["a;b", "dill;smoke", "split", "why"], "older", "takes one older term", "for each older",
    ),
    "renamed to none": (["a", "", "renamed", ""], "newer", "one newer term", "is retired"),
    "renamed from none": (["", "dill", "renamed", ""], "older", "one older term", "is new"),
    "new and not named": (["", "", "new", ""], "newer", "one or more", "Name the new term"),
    "joined by commas": (
        ["a", "dill, smoke", "split", "why"], "newer", "another sign", "'dill;smoke'",
    ),
    "older ids joined by a comma": (["a,b", "dill", "merged", "why"], "older", "sign", "'a;b'"),
    "one joined by a comma, one not": (
        ["a, b;c", "dill", "merged", "why"], "older", "another sign", "'a;b;c'",
    ),
    "split without a reason": (["a", "dill;smoke", "split", ""], "reason", "is empty", "few"),
    "merged without a reason": (["a;b", "dill", "merged", ""], "reason", "is empty", "few"),
    "redefined without a reason": (["dill", "dill", "redefined", ""], "reason", "is empty", "few"),
    "a reason nobody wrote": (["a", "dill", "renamed", "Suggested"], "reason", "decided", "few"),
}  # fmt: skip


@pytest.mark.parametrize("name", ONE_FAULT)
def test_one_fault_is_told_once_with_line_column_and_cure(tmp_path, name):
    row, column, problem, remedy = ONE_FAULT[name]
    (fault,) = faults_of(said(tmp_path, ["crisp", "crisp", "exact", ""], row))
    assert (fault.file, fault.line, fault.column) == ("crosswalk.csv", 3, column)
    assert problem in fault.problem
    assert remedy in fault.remedy


@pytest.mark.parametrize("column", HEADER)
def test_a_formula_is_told_once(tmp_path, column):
    book = openpyxl.Workbook()
    rows = [dict(zip(HEADER, row)) for row in (FIT[3], FIT[4])]
    for row in rows:
        row[column] = "=A1"
    for row in (HEADER, *(list(row.values()) for row in rows)):
        book.active.append(row)
    folder = write_folder(tmp_path)
    book.save(folder / "crosswalk.xlsx")
    found = [(fault.line, fault.column, fault.problem) for fault in faults_of(folder)]
    assert found == [(line, column, "is a formula") for line in (2, 3)]


@pytest.mark.parametrize(
    ("second", "column"),
    [
        (["a", "smoke", "renamed", ""], "older"),
        (["a;b", "smoke", "merged", "why"], "older"),
        (["a", "", "retired", "why"], "older"),
        (["b", "dill", "renamed", ""], "newer"),
        (["b", "smoke;dill", "split", "why"], "newer"),
        (["", "dill", "new", ""], "newer"),
    ],
)
def test_an_id_that_two_rows_explain_is_refused_and_both_lines_told(tmp_path, second, column):
    (fault,) = faults_of(said(tmp_path, ["a", "dill", "renamed", ""], second))
    assert (fault.line, fault.column) == (3, column)
    assert "explained twice: renamed on line 2" in fault.problem


def test_what_to_use_instead_may_be_named_by_many(tmp_path):
    rows = [["a", "dill", "renamed", ""], ["b", "dill", "retired", "why"]]
    assert faults_of(said(tmp_path, *rows, ["c", "dill;smoke", "retired", "why"])) == ()


@pytest.mark.parametrize(
    ("row", "column"),
    [
        (["a", "dill", "renamed", ""], "older"),
        (["", "dill", "new", ""], "older"),
        (["dilly", "smoke", "renamed", ""], "newer"),
        (["dilly", "", "retired", "why"], "newer"),
    ],
)
def test_a_row_against_renamed_from_is_refused(tmp_path, row, column):
    changed = {"terms.csv": terms_with(dill="dilly")}
    (fault,) = faults_of(said(tmp_path, row, **changed))
    assert (fault.file, fault.line, fault.column) == ("crosswalk.csv", 2, column)
    assert "renamed_from in terms.csv says" in fault.problem


@pytest.mark.parametrize(
    "row",
    [
        ["dilly", "dill", "renamed", "a new name"],
        ["dilly", "dill", "redefined", "why"],
        ["dilly;anethum", "dill", "merged", "why"],
        ["dilly", "dill;smoke", "split", "why"],
    ],
)
def test_a_row_that_says_more_than_renamed_from_is_taken(tmp_path, row):
    changed = {"terms.csv": terms_with(dill="dilly")}
    assert faults_of(said(tmp_path, row, **changed)) == ()


def test_rows_about_two_older_studies_may_say_different_things(tmp_path):
    header = [*HEADER, "older_study"]
    rows = [["a", "dill", "renamed", "", "y2006"], ["b", "dill", "renamed", "", "y2016"]]
    assert faults_of(said(tmp_path, *rows, header=header)) == ()
    (fault,) = faults_of(said(tmp_path, *rows, ["c", "dill", "renamed", "", ""], header=header))[:1]
    assert "explained twice" in fault.problem


def test_a_misspelt_file_is_not_passed_over(tmp_path):
    folder = write_folder(tmp_path, {"crosswalks.csv": [HEADER, *FIT]})
    (fault,) = faults_of(folder)
    assert "crosswalk.csv" in fault.remedy


def test_every_term_may_stand_in_a_row(tmp_path):
    rows = [[term, term, "exact", ""] for term in TERMS]
    assert faults_of(said(tmp_path, *rows)) == ()
