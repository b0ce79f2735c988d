"""Faults of a study's files: all in one run, in order, with the right lines, told once."""

import pytest
from felloe.errors import StudyError
from felloe.validation.intake.raw import raw_table
from felloe.validation.intake.study import read_study
from felloe.validation.tables import FAULTS
from study_folder import (
    CANONICAL,
    LIMITS,
    PEOPLE,
    SETTINGS,
    TERMS,
    canonical,
    faults_of,
    long_rows,
    tables,
    wide_rows,
    with_cell,
    with_text,
    without_column,
    write_folder,
    write_rows,
)
from validate_sorts import main as validate_sorts


def test_the_study_without_changes_has_no_fault(tmp_path):
    assert faults_of(write_folder(tmp_path / "study")) == ()


def test_faults_of_all_tables_are_found_in_one_run(tmp_path):
    folder = write_folder(tmp_path / "study")
    for name, line, column, value in (
        ("sorts.csv", 5, "term", "gralic"),
        ("participants.csv", 3, "population", "makres"),
        ("terms.csv", 4, "label", ""),
        ("names.csv", 2, "tier", "clas"),
        ("decisions.csv", 2, "decided_on", "yesterday"),
        ("colours.csv", 2, "colour", "green"),
    ):
        with_cell(name, line, column, value)(folder)
    with_text("study.yaml", "2026", "second")(folder)
    faults = faults_of(folder)
    assert [fault.file for fault in faults] == [
        "colours.csv",
        "decisions.csv",
        "names.csv",
        "participants.csv",
        "sorts.csv",
        "study.yaml",
        "terms.csv",
    ]


def test_faults_come_by_file_and_line(tmp_path):
    rows = long_rows()
    for line in (40, 3, 22):
        rows[line - 1][2] = "=A1"
    folder = write_folder(tmp_path / "study", {"sorts.csv": rows})
    (fault,) = faults_of(folder)
    assert fault.line == 3
    assert "(also on line 22, 40)" in fault.problem


def test_lines_are_right_behind_cells_of_several_lines(tmp_path):
    rows = tables()["terms.csv"]
    rows[1][2], rows[2][2] = "salt\nand\nwater", "in the\r\nmouth"
    rows[5][1] = ""
    folder = write_folder(tmp_path / "study", {"terms.csv": rows})
    (fault,) = faults_of(folder)
    # three lines of brine, two of crisp: lactic starts on line 6 + 3
    assert (fault.line, fault.column) == (9, "label")


def test_lines_are_right_behind_blank_lines(tmp_path):
    folder = write_folder(tmp_path / "study")
    with_cell("sorts.csv", 5, "pile", "=A1")(folder)
    text = (
        (folder / "sorts.csv").read_text(encoding="utf-8").replace("p0,crisp", "\n\n,,,\np0,crisp")
    )
    (folder / "sorts.csv").write_text(text, encoding="utf-8", newline="")
    (fault,) = faults_of(folder)
    assert fault.line == 8


def test_one_screen_shows_fifty_faults_and_the_file_holds_all(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    rows = [[*row[:2], f"={n}", f"x{n}"] for n, row in enumerate(long_rows())]
    rows[0] = long_rows()[0]
    more = [["term", "label"], *([term, ""] for term in TERMS)]
    write_folder(tmp_path / "study", {"sorts.csv": rows, "terms.csv": more})
    with pytest.raises(StudyError) as refusal:
        validate_sorts(source="study", limits=SETTINGS["intake"], faults="logs/faults.csv")
    shown = str(refusal.value).splitlines()
    listed = FAULTS.read("logs/faults.csv")
    assert shown[50:] == ["... and 47 more.", "All 97 faults are listed in logs/faults.csv"]
    assert len(listed) == 97
    assert listed[0]["file"] == "study/sorts.csv"


def test_a_mended_study_leaves_no_list_of_faults(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    write_folder(tmp_path / "study")
    (tmp_path / "faults.csv").write_text("file\nold\n", encoding="utf-8")
    outputs = {name: f"out/{name}" for name in CANONICAL}
    validate_sorts(source="study", limits=SETTINGS["intake"], faults="faults.csv", **outputs)
    assert not (tmp_path / "faults.csv").exists()


def test_decisions_that_move_terms_beside_one_another_are_refused(tmp_path):
    rows = [*tables()["decisions.csv"], ["garlic", "dill", "the other way", "2026-03-28"]]
    faults = faults_of(write_folder(tmp_path / "study", {"decisions.csv": rows}))
    assert [fault.line for fault in faults] == [2, 3]


def test_a_second_decision_on_a_term_is_refused(tmp_path):
    rows = [*tables()["decisions.csv"], ["dill", "brine", "on reflection", "2026-03-28"]]
    (fault,) = faults_of(write_folder(tmp_path / "study", {"decisions.csv": rows}))
    assert "a decision on the term stands twice" in fault.problem


def test_many_missing_rows_of_a_participant_are_named_in_one_line(tmp_path):
    rows = [row for row in long_rows() if row[0] != "p3" or row[1] == "dill"]
    more = ["salt", "sour"]
    terms = [*tables()["terms.csv"], *([term, term, "", "", ""] for term in more)]
    rows += [[person, term, "1", ""] for person in PEOPLE if person != "p3" for term in more]
    changed = {"sorts.csv": rows, "terms.csv": terms}
    (fault,) = faults_of(write_folder(tmp_path / "study", changed))
    words = (
        "participant 'p3' has no row for 7 of 8 terms: brine, crisp, garlic, lactic, salt, smoke"
    )
    assert words in fault.problem
    # where it was sorted in parts, added rows would turn "not shown" into "not placed"
    assert fault.remedy.startswith("Was everybody shown a part of the terms? Then design.csv is")


def test_sorts_in_two_files_are_refused(tmp_path):
    folder = write_folder(tmp_path / "study")
    (folder / "sorts.xlsx").write_bytes(b"")
    (fault,) = faults_of(folder)
    assert "stands beside sorts.csv" in fault.problem


def test_a_folder_that_is_missing_is_named(tmp_path):
    (fault,) = faults_of(tmp_path / "nowhere")
    assert "the study's folder is missing" in fault.problem


@pytest.mark.parametrize(("layout", "rows"), [("long", wide_rows()), ("wide", long_rows())])
def test_the_other_layout_is_recognised(layout, rows, tmp_path):
    folder = write_folder(tmp_path / "study", {"sorts.csv": rows}, layout=layout)
    assert any("sorts_layout" in fault.remedy for fault in faults_of(folder))


@pytest.mark.parametrize(
    ("change", "line", "problem"),
    [
        (lambda rows: rows[0].__setitem__(4, "gralic"), 1, "unknown term"),
        (lambda rows: rows.append(rows[3]), 10, "stands twice"),
        (lambda rows: rows[3].__setitem__(2, "1.5"), 4, "no whole number"),
        (lambda rows: [row.pop() for row in rows], 1, "no column for the term 'smoke'"),
        (lambda rows: rows[4].pop(), 5, "6 cells, the header has 7"),
        (lambda rows: rows[2].__setitem__(0, "p99"), 3, "unknown participant"),
    ],
)
def test_a_wide_table_is_refused_where_it_is_wrong(change, line, problem, tmp_path):
    rows = wide_rows()
    change(rows)
    folder = write_folder(tmp_path / "study", {"sorts.csv": rows}, layout="wide")
    assert any(fault.line == line and problem in fault.problem for fault in faults_of(folder))


@pytest.mark.parametrize("layout", ["long", "wide"])
def test_piles_of_one_participant_that_differ_in_capitals_only_are_refused(layout, tmp_path):
    rows = wide_rows() if layout == "wide" else long_rows()
    cells = [(1, 1, "a"), (1, 3, "A")] if layout == "wide" else [(1, 2, "a"), (3, 2, "A")]
    for row, column, pile in cells:
        rows[row][column] = pile
    folder = write_folder(tmp_path / "study", {"sorts.csv": rows}, layout=layout)
    (fault,) = faults_of(folder)
    assert "participant 'p0' has piles 'a' and 'A'" in fault.problem


def test_a_pair_that_nobody_placed_on_the_same_table_is_named(tmp_path):
    rows = long_rows()
    for row in rows[1:]:
        if PEOPLE[row[0]] == "makers" and row[1] == ("dill" if row[0] < "p4" else "garlic"):
            row[2] = ""
    (fault,) = faults_of(write_folder(tmp_path / "study", {"sorts.csv": rows}))
    assert "nobody of 'makers' placed both 'dill' and 'garlic'" in fault.problem


def test_a_term_that_nobody_placed_is_named_once(tmp_path):
    rows = [[*row[:2], "" if row[1] == "dill" else row[2], row[3]] for row in long_rows()]
    faults = faults_of(write_folder(tmp_path / "study", {"sorts.csv": rows}))
    assert {fault.value for fault in faults} == {"dill"}
    assert len(faults) == 2  # one for each population


def test_a_declared_population_without_people_is_refused(tmp_path):
    folder = write_folder(tmp_path / "study")
    with_text("study.yaml", "  panel: Panel", "  panel: Panel\n  guests: Guests")(folder)
    (fault,) = faults_of(folder)
    assert "the population has 0 participant(s), at least 4 are needed" in fault.problem
    assert "they are compared" in fault.remedy


def test_too_few_people_are_refused_with_number_and_reason(tmp_path):
    rows = tables()
    people = [row for row in rows["participants.csv"] if row[0] != "p1"]
    sorts = [row for row in rows["sorts.csv"] if row[0] != "p1"]
    changed = {"participants.csv": people, "sorts.csv": sorts}
    (fault,) = faults_of(write_folder(tmp_path / "study", changed))
    assert "has 3 participant(s), at least 4 are needed" in fault.problem
    assert "two halves of at least two people" in fault.remedy


def test_too_few_terms_are_refused_with_number_and_reason(tmp_path):
    rows = tables()
    few = {"brine", "crisp", "dill"}
    changed = {
        "terms.csv": [row for row in rows["terms.csv"] if row[0] in few | {"term"}],
        "sorts.csv": [row for row in rows["sorts.csv"] if row[1] in few | {"term"}],
        **dict.fromkeys(("names.csv", "decisions.csv", "colours.csv")),
    }
    (fault,) = faults_of(write_folder(tmp_path / "study", changed))
    assert "3 term(s) are listed, at least 4 are needed" in fault.problem
    assert "a map of two dimensions" in fault.remedy


def test_one_population_alone_is_enough_where_no_other_is_declared(tmp_path):
    rows = tables()["participants.csv"]
    changed = {"participants.csv": [rows[0], *([row[0], "makers", "9"] for row in rows[1:])]}
    folder = write_folder(tmp_path / "study", changed)
    with_text("study.yaml", "  panel: Panel\n", "")(folder)
    assert faults_of(folder) == ()


@pytest.mark.parametrize("name", ["pooled", "Panel", "no", "on", "007"])
def test_a_population_may_not_be_called(name, tmp_path):
    folder = write_folder(tmp_path / "study")
    with_text("study.yaml", "  panel: Panel", f"  {name}: Panel")(folder)
    assert any(fault.file == "study.yaml" for fault in faults_of(folder))


def test_a_population_may_have_any_identifier_in_quotes(tmp_path):
    folder = write_folder(tmp_path / "study")
    with_text("study.yaml", "  panel: Panel", '  "no": Panel')(folder)
    rows = tables()["participants.csv"]
    write_rows(
        folder / "participants.csv",
        [[row[0], "no" if row[1] == "panel" else row[1], row[2]] for row in rows],
    )
    assert faults_of(folder) == ()


def test_a_table_that_is_wrong_throughout_is_listed_up_to_a_limit(tmp_path, monkeypatch):
    monkeypatch.setattr(raw_table, "MOST_FAULTS", 10)
    rows = [[*row[:2], f"={n}"] for n, row in enumerate(long_rows())]
    rows[0] = ["participant", "term", "pile"]
    faults = faults_of(write_folder(tmp_path / "study", {"sorts.csv": rows}))
    assert len(faults) == 11
    assert "has more than 10 faults" in faults[0].problem


def test_files_of_no_use_to_a_study_are_noted(tmp_path):
    folder = write_folder(tmp_path / "study")
    (folder / "minutes-of-meeting.pdf").write_bytes(b"%PDF")
    study = read_study(folder, LIMITS)
    assert [note.file for note in study.findings if "not read" in note.problem] == [
        "minutes-of-meeting.pdf"
    ]


def test_columns_that_are_not_read_are_noted(tmp_path):
    rows = [[*row, "x"] for row in long_rows()]
    rows[0][-1] = "comment"
    study = read_study(write_folder(tmp_path / "study", {"sorts.csv": rows}), LIMITS)
    assert any(note.column == "comment" for note in study.findings)


@pytest.mark.parametrize(
    ("name", "column"),
    [("sorts.csv", "position"), ("participants.csv", "minutes"), ("terms.csv", "definition")],
)
def test_a_study_needs_no(name, column, tmp_path):
    folder = write_folder(tmp_path / "study")
    without_column(name, column)(folder)
    assert faults_of(folder) == ()


def test_names_decisions_and_colours_are_not_needed(tmp_path):
    changed = dict.fromkeys(("names.csv", "decisions.csv", "colours.csv"))
    folder = write_folder(tmp_path / "study", changed)
    files = canonical(folder, tmp_path / "out")
    assert files["names"].startswith(b"tier,anchor,name,absorbs,")
    assert files["names"].count(b"\n") == 1


def test_a_pile_zero_is_read_and_warned_of(tmp_path):
    rows = long_rows()
    rows[4][2] = "0"
    study = read_study(write_folder(tmp_path / "study", {"sorts.csv": rows}), LIMITS)
    (warning,) = [note for note in study.findings if note.severity == "warning"]
    assert "if 0 stands for 'not placed'" in warning.problem


def test_two_terms_with_one_label_are_warned_of(tmp_path):
    rows = tables()["terms.csv"]
    rows[3][1] = "BRINE"
    study = read_study(write_folder(tmp_path / "study", {"terms.csv": rows}), LIMITS)
    (warning,) = [note for note in study.findings if note.severity == "warning"]
    assert "is also the label of 'brine'" in warning.problem
