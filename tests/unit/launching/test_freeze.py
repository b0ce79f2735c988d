"""The word `freeze`: what it writes, what it says, and when it refuses."""

import hashlib
import json
import subprocess
import sys
from pathlib import Path

import pytest
from felloe.ground.files.records import read_json
from felloe.launching import launcher
from felloe.launching.freeze import main
from openpyxl import Workbook
from study_folder import write_folder, write_rows
from typed_words import refusal

FREEZE = Path(__file__).parents[3] / "scripts" / "felloe" / "launching" / "freeze.py"
HEADER = ["participant", "term", "pile"]


@pytest.fixture
def here(tmp_path, monkeypatch):
    """A study before its data, and settings that name it."""
    monkeypatch.chdir(tmp_path)
    write_folder(tmp_path / "words", {"sorts.csv": None})
    text = "studies: {brine: words}\ncomparison: {margins: {alpha: 0.04}}\n"
    (tmp_path / "mine.yaml").write_text(text, encoding="utf-8")
    return tmp_path


def freeze(*words):
    return main([*words, "--configfile", "mine.yaml"])


def refused(capsys, here, *words):
    """Return what a refusal says; nothing may have been written."""
    return refusal(capsys, here, freeze, *words)


def test_the_hash_that_is_printed_is_that_of_the_file(here, capsys):
    assert freeze("brine") == 0
    said = capsys.readouterr().out
    data = (here / "words" / "protocol.json").read_bytes()
    assert f"SHA-256: {hashlib.sha256(data).hexdigest()}\n" in said
    assert "sha256sum words/protocol.json" in said
    assert "Deposit" in said


def test_what_is_frozen_is_the_study_and_the_resolved_settings(here):
    freeze("brine")
    frozen = read_json(here / "words" / "protocol.json")
    assert frozen["instruction"] == "Put together what belongs together."
    assert frozen["settings"]["comparison"]["margins"]["alpha"] == 0.04
    assert frozen["settings"]["comparison"]["margins"]["corrected_r"] == 0.9  # of the defaults
    assert frozen["settings"]["screening"]["too_fast"]["use"] is True
    assert frozen["terms"]["dill"]["definition"] == "as of dill"
    assert frozen["data_seen"] is False
    assert "design" not in frozen["settings"]  # who is shown what is input, no choice of analysis


def test_the_same_study_elsewhere_freezes_to_the_same_bytes(here, monkeypatch):
    freeze("brine")
    other = here / "another place"
    other.mkdir()
    (here / "words").rename(other / "folder")
    first = (other / "folder" / "protocol.json").read_bytes()
    (other / "folder" / "protocol.json").unlink()
    text = (here / "mine.yaml").read_text(encoding="utf-8").replace("words", "folder")
    (other / "mine.yaml").write_text(text, encoding="utf-8")
    monkeypatch.chdir(other)
    freeze("brine")
    assert (other / "folder" / "protocol.json").read_bytes() == first


def test_an_unknown_study_is_refused_with_the_nearest(here, capsys):
    assert "'brien': is no study of these settings. Did you mean 'brine'?" in refused(
        capsys, here, "brien"
    )


def test_a_protocol_is_never_written_over(here, capsys):
    freeze("brine")
    capsys.readouterr()
    said = refused(capsys, here, "brine", "--data-seen")
    assert "words/protocol.json: is there already" in said
    assert "remove it on purpose" in said


def sheet(path, rows):
    book = Workbook()
    for row in rows:
        book.active.append(row)
    book.save(path)


@pytest.mark.parametrize("kind", ["sorts.csv", "sorts.xlsx", "returns", "unreadable.xlsx"])
def test_sorts_that_are_there_are_refused_unless_it_is_said(here, capsys, kind):
    folder, row = here / "words", ["p1", "dill", "1"]
    if kind == "returns":
        (folder / kind).mkdir()
        (folder / kind / "p1.csv").write_text("x\n", encoding="utf-8")
    elif kind == "unreadable.xlsx":
        kind = "sorts.xlsx"
        (folder / kind).write_bytes(b"no spreadsheet")
    elif kind == "sorts.xlsx":
        sheet(folder / kind, [HEADER, row])
    else:
        write_rows(folder / kind, [HEADER, row])
    said = refused(capsys, here, "brine")
    assert f"words/{kind}: there are sorts already" in said
    assert "--data-seen" in said
    assert freeze("brine", "--data-seen") == 0
    assert read_json(folder / "protocol.json")["data_seen"] is True
    assert "every report will say so" in capsys.readouterr().out


@pytest.mark.parametrize("kind", ["sorts.csv", "sorts.xlsx", "empty", "returns"])
def test_a_header_alone_is_no_data(here, kind):
    folder = here / "words"
    if kind == "returns":
        (folder / kind / "colours").mkdir(parents=True)
        (folder / kind / ".DS_Store").write_bytes(b"x")
    elif kind == "empty":
        (folder / "sorts.csv").touch()
    elif kind == "sorts.xlsx":
        sheet(folder / kind, [HEADER])
    else:
        write_rows(folder / kind, [HEADER])
    assert freeze("brine") == 0


def test_people_need_not_be_known_yet(here):
    (here / "words" / "participants.csv").unlink()
    assert freeze("brine") == 0


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("clusterign: {}", "Did you mean 'clustering'?"),
        ("seed: -1", "column 'seed'"),
        ("preview: true", "a preview is for trying things"),
    ],
)
def test_settings_that_are_not_to_be_frozen_are_refused(here, capsys, line, words):
    with open(here / "mine.yaml", "a", encoding="utf-8") as stream:
        stream.write(line + "\n")
    assert words in refused(capsys, here, "brine")


def test_every_fault_of_the_study_is_named_with_its_line(here, capsys):
    text = (here / "words" / "study.yaml").read_text(encoding="utf-8")
    (here / "words" / "study.yaml").write_text(text.replace("2026", "soon"), encoding="utf-8")
    terms = (here / "words" / "terms.csv").read_text(encoding="utf-8")
    (here / "words" / "terms.csv").write_text(terms.replace("dill,", "Dill,"), encoding="utf-8")
    said = refused(capsys, here, "brine")
    assert "words/study.yaml, line 2, column 'edition'" in said
    assert "words/terms.csv, line 4, column 'term'" in said


@pytest.mark.parametrize("kept", [0, 2])
def test_a_lexicon_that_could_not_be_analysed_is_refused(here, capsys, kept):
    path = here / "words" / "terms.csv"
    lines = path.read_text(encoding="utf-8").splitlines()
    path.write_text("\n".join(lines[: 1 + kept]) + "\n", encoding="utf-8")
    assert "words/terms.csv" in refused(capsys, here, "brine")


def test_a_lexicon_that_is_missing_is_refused(here, capsys):
    (here / "words" / "terms.csv").unlink()
    assert "words/terms.csv: the file is missing" in refused(capsys, here, "brine")


def test_a_wrong_command_line_is_told_apart(here):
    finished = subprocess.run([sys.executable, str(FREEZE)], capture_output=True, text=True)
    assert finished.returncode == 2
    assert "STUDY" in finished.stderr


def test_the_launcher_knows_the_word_and_where_paths_were_typed(here, monkeypatch):
    monkeypatch.setattr(launcher, "ensured", lambda root, say: Path(sys.executable))
    typed = ["freeze", "brine", "--configfile", "mine.yaml", "--directory", "."]
    assert launcher.main(typed) == 0
    assert json.loads((here / "words" / "protocol.json").read_text(encoding="utf-8"))
    assert launcher.main(typed) == 1


@pytest.mark.parametrize("first", [["brine", "--data-seen"], ["--data-seen", "brine"]])
def test_a_study_named_like_a_folder_that_is_there_is_a_study(here, monkeypatch, first):
    (here / "words").rename(here / "brine")
    (here / "mine.yaml").write_text("studies: {brine: brine}\n", encoding="utf-8")
    monkeypatch.setattr(launcher, "ensured", lambda root, say: Path(sys.executable))
    typed = ["freeze", *first, "--configfile", "mine.yaml", "--directory", "."]
    assert launcher.main(typed) == 0
    assert (here / "brine" / "protocol.json").is_file()


@pytest.mark.parametrize("first", [["brine", "--cores", "2"], ["--cores", "2", "brine"]])
def test_a_number_of_cores_changes_nothing(here, monkeypatch, first):
    monkeypatch.setattr(launcher, "ensured", lambda root, say: Path(sys.executable))
    typed = ["freeze", *first, "--configfile", "mine.yaml", "--directory", "."]
    assert launcher.main(typed) == 0
    assert (here / "words" / "protocol.json").is_file()


@pytest.mark.parametrize("words", [[], ["brine", "dill"], ["brine", "--data-sene"]])
def test_what_can_not_be_frozen_so_is_a_wrong_command(here, capsys, words):
    assert launcher.main(["freeze", *words, "--configfile", "mine.yaml"]) == 2
    said = capsys.readouterr().err
    assert "freeze STUDY" in said
    assert len(said.splitlines()) == 2


def test_a_working_folder_that_is_not_there_is_named(here, monkeypatch, capsys):
    monkeypatch.setattr(launcher, "ensured", lambda root, say: Path(sys.executable))
    assert launcher.main(["freeze", "brine", "--directory", "nowhere"]) == 2
    assert "nowhere" in capsys.readouterr().err
