"""When the word `plan` refuses, and that nothing is half written then."""

import subprocess
import sys
from pathlib import Path

import pytest
from design_example import LATE, SETTINGS, append, design, people_file, plan, refused, write
from felloe.launching import launcher
from felloe.launching.plan_study import command
from openpyxl import Workbook
from study_folder import write_folder, write_rows

PLAN = Path(__file__).parents[3] / "scripts" / "felloe" / "launching" / "plan_study" / "command.py"


@pytest.fixture
def here(before_its_data):
    """The folder that the word is typed in."""
    return before_its_data


def test_a_term_that_is_gone_is_refused_with_its_line(here, capsys):
    write()
    path = here / "words" / "terms.csv"
    text = path.read_text(encoding="utf-8").replace("dill,Dill\n", "")
    path.write_text(text, encoding="utf-8")
    said = refused(capsys, here, "brine", "--write-design")
    line = next(n for n, row in enumerate(design(here), 2) if row["term"] == "dill")
    assert f"words/design.csv, line {line}, column 'term': 'dill': is no longer in terms" in said
    assert "Put it back" in said


def test_a_person_who_is_gone_is_refused(here, capsys):
    write()
    path = people_file(here)
    path.write_text(path.read_text(encoding="utf-8").replace("p0,panel\n", ""), encoding="utf-8")
    said = refused(capsys, here, "brine", "--write-design")
    assert "'p0': is in neither list of people" in said
    assert "delete the lines" in said


def test_a_study_with_sorts_and_no_design_is_refused_by_name(here, capsys):
    write_folder(here / "words")
    said = refused(capsys, here, "brine", "--write-design")
    assert "words/sorts.csv: there are sorts and no design" in said
    assert plan("brine") == 0
    assert "Everybody was shown all 6 terms" in capsys.readouterr().out


def test_returns_without_a_design_are_refused_too(here, capsys):
    (here / "words" / "returns").mkdir()
    (here / "words" / "returns" / "p0.json").write_text("{}", encoding="utf-8")
    assert "words/returns: there are sorts" in refused(capsys, here, "brine", "--write-design")


def test_somebody_who_sorted_without_a_set_is_refused(here, capsys):
    write()
    append(people_file(here), *LATE)
    write_rows(here / "words" / "sorts.csv", [["participant", "term", "pile"], ["x2", "dill", 1]])
    said = refused(capsys, here, "brine", "--write-design")
    assert "has no line for x2, who sorted already" in said


def test_with_a_design_people_have_to_be_named(here, capsys):
    write()
    people_file(here).unlink()
    assert "is in neither list of people" in refused(capsys, here, "brine")


@pytest.mark.parametrize("name", ["study.yaml", "terms.csv"])
def test_a_missing_file_is_refused(here, capsys, name):
    (here / "words" / name).unlink()
    assert name in refused(capsys, here, "brine")


def test_a_design_that_is_a_spreadsheet_or_a_folder_is_refused(here, capsys):
    (here / "words" / "design.xlsx").write_bytes(b"PK")
    assert "words/design.xlsx" in refused(capsys, here, "brine", "--write-design")
    (here / "words" / "design.xlsx").unlink()
    (here / "words" / "design.csv").mkdir()
    assert "design.csv: is no file" in refused(capsys, here, "brine", "--write-design")


def sheet_instead(here):
    """Put a spreadsheet with the same rows in place of the design."""
    book = Workbook()
    book.active.append(["participant", "term", "position"])
    for row in design(here):
        book.active.append(list(row.values()))
    book.save(here / "words" / "design.xlsx")
    (here / "words" / "design.csv").unlink()


def test_a_spreadsheet_is_read_and_never_written_to(here, capsys):
    write()
    sheet_instead(here)
    assert plan("brine") == 0
    assert "Nothing was added: everybody is in words/design.xlsx" in capsys.readouterr().out
    append(people_file(here), *LATE)
    said = refused(capsys, here, "brine", "--write-design")
    assert "words/design.xlsx: is a spreadsheet, to which x1, x2 can't be added" in said
    assert "Save its sheet as design.csv" in said


def test_a_spreadsheet_beside_the_table_is_refused_as_a_run_refuses_it(here, capsys):
    write()
    (here / "words" / "design.xlsx").write_bytes(b"PK")
    assert "stands beside design.csv" in refused(capsys, here, "brine", "--write-design")


@pytest.mark.parametrize("issued", [False, True])
def test_two_at_once_issue_nobody_twice(here, capsys, monkeypatch, issued):
    if issued:
        write()
        append(people_file(here), *LATE)
    usual = command.written

    def late(planned):
        monkeypatch.setattr(command, "written", usual)
        assert write() == 0  # somebody else, while the first still draws
        return usual(planned)

    monkeypatch.setattr(command, "written", late)
    assert write() == 1
    assert "words/design.csv: was written by somebody else" in capsys.readouterr().err
    assert write() == 0
    rows = [(row["participant"], row["term"]) for row in design(here)]
    assert len(rows) == len(set(rows)) == (48 if issued else 42)


def test_a_link_to_nowhere_is_not_written_through(here, capsys):
    (here / "words" / "design.csv").symlink_to(here / "nowhere.csv")
    assert "design.csv: is no file" in refused(capsys, here, "brine", "--write-design")


def test_an_unknown_study_is_refused_with_the_nearest(here, capsys):
    assert "Did you mean 'brine'?" in refused(capsys, here, "brien")


def test_a_setting_of_one_term_is_refused(here, capsys):
    (here / "mine.yaml").write_text(SETTINGS.replace("3", "1"), encoding="utf-8")
    assert "design.terms_per_participant" in refused(capsys, here, "brine")


def test_a_folder_in_which_nobody_may_write_is_told(here, capsys, monkeypatch):
    def no_write(*_):
        raise PermissionError(13, "Permission denied", "words/design.csv")

    monkeypatch.setattr("felloe.launching.plan_study.issuing.write_bytes", no_write)
    said = refused(capsys, here, "brine", "--write-design")
    assert said.startswith("Not written: Permission denied (words/design.csv). Mend that")


def test_half_a_design_is_never_there(here, monkeypatch, capsys):
    write()
    append(people_file(here), *LATE)

    def full(*_):
        raise OSError(28, "No space left on device", "words/design.csv")

    monkeypatch.setattr("os.fsync", full)
    assert "No space left" in refused(capsys, here, "brine", "--write-design")


def test_the_script_ends_with_its_status_and_one_screen(here):
    command = [sys.executable, str(PLAN), "brine", "--configfile", "mine.yaml"]
    done = subprocess.run(command, cwd=here, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    (here / "words" / "terms.csv").unlink()
    done = subprocess.run(command, cwd=here, capture_output=True, text=True)
    assert (done.returncode, done.stdout) == (1, "")


@pytest.mark.parametrize("typed", [[], ["a", "b"], ["a", "--write"], ["a", "mine.yaml"]])
def test_a_wrong_line_ends_with_two(typed, capsys):
    assert launcher.main(["plan", *typed]) == 2
    assert "plan STUDY [--write-design]" in capsys.readouterr().err
