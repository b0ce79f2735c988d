"""Settings and the headers of all studies are checked before Snakemake plans anything."""

import subprocess
import sys
from pathlib import Path

import pytest
from felloe.launching.planning.preflight import main
from study_folder import settings_text, write_folder

PREFLIGHT = (
    Path(__file__).parents[3] / "scripts" / "felloe" / "launching" / "planning" / "preflight.py"
)


@pytest.fixture
def here(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    write_folder(tmp_path / "small")
    write_folder(tmp_path / "large")
    (tmp_path / "mine.yaml").write_text("studies: {small: small, large: large}\n", encoding="utf-8")
    return tmp_path


def spoil(study, old, new):
    text = settings_text().replace(old, new, 1)
    assert text != settings_text()
    (study / "study.yaml").write_text(text, encoding="utf-8")


def test_right_settings_and_headers_pass_in_silence(here, capsys):
    assert main(["mine.yaml"]) == 0
    assert capsys.readouterr() == ("", "")


def test_faults_of_all_studies_come_on_one_screen(here, capsys):
    spoil(here / "small", "  panel: Panel", "  ../x: Panel")
    spoil(here / "large", "2026", "2016-13-01")
    assert main(["mine.yaml"]) == 1
    lines = capsys.readouterr().err.splitlines()
    assert [line.split(":")[0] for line in lines] == [
        "large/study.yaml, line 2, column 'edition'",
        "small/study.yaml, line 6, column 'populations'",
    ]


def test_editions_in_reverse_are_told_before_anything_is_planned(here, capsys):
    spoil(here / "large", "2026", "2016")
    text = "studies: {small: small, large: large}\neditions: [[small, large]]\n"
    (here / "mine.yaml").write_text(text, encoding="utf-8")
    assert main(["mine.yaml"]) == 1
    assert "mine.yaml, column 'editions': '[small, large]'" in capsys.readouterr().err


def test_nothing_is_written_by_a_refusal(here, capsys):
    spoil(here / "small", "2026", "[" * 3000)
    before = sorted(here.rglob("*"))
    assert main(["mine.yaml"]) == 1
    assert sorted(here.rglob("*")) == before


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("seed: " + "9" * 5000, "is no number"),
        ("seed: 0x" + "f" * 5000, "is no number"),
        ("seed: " + "1:" * 5000 + "1", "is no number"),
        ("seed: 0b_", "is no number"),
        ("circle: {class_gap: .nan}", "is no number"),
        ("circle: {class_gap: -.inf}", "is no number"),
        ("circle: {class_gap: 1.0e+999}", "is no number"),
        ("seed: 2016-13-01", "date"),
        ("seed: 2016-12-01", "date"),
        ("seed: 2026-02-30", "date"),
        ("seed: " + "[" * 3000, "nested more than"),
        ("seed: " + "{a: " * 3000, "nested more than"),
        ("seed: &a 1\nmap: *a", "alias"),
        ("seed: !!int x", "tag"),
        ("no: 1", "Write it in quotes, 'no': it is then a name."),
        ("editions:\n  2026: x", "Write it in quotes, '2026': it is then a name."),
        ("[a, b]: 1", "plain word"),
        ("seed: 1\nseed: 2", "stands twice"),
    ],
)
def test_a_settings_file_is_refused_with_its_line(line, words, here, capsys):
    text = (here / "mine.yaml").read_text(encoding="utf-8") + line + "\n"
    (here / "mine.yaml").write_text(text, encoding="utf-8")
    assert main(["mine.yaml"]) == 1
    said = capsys.readouterr().err
    assert said.startswith(f"mine.yaml, line {len(text.splitlines())}")
    assert words in said
    assert len(said.splitlines()) == 1
    assert len(said) < 400


def test_a_huge_settings_file_is_refused(here, capsys):
    (here / "mine.yaml").write_bytes(b"#\n" * 10_000_000)
    assert main(["mine.yaml"]) == 1
    assert "mine.yaml, line 131073: is longer than" in capsys.readouterr().err


def test_a_settings_file_may_be_a_text_of_all_kinds_of_values(here):
    (here / "mine.yaml").write_text(
        "studies: {small: small}\nseed: 0x10\ncomparison: {chart_population: ~}\n"
        "screening: {all_in_one: off}\ncircle: {class_gap: 2.5}\ntiers: {classes_range: [6, 8]}\n",
        encoding="utf-8",
    )
    assert main(["mine.yaml"]) == 0


def test_the_preflight_runs_as_a_program_of_its_own(here):
    spoil(here / "small", "  panel: Panel", "  yes: Panel")
    command = [sys.executable, str(PREFLIGHT), "mine.yaml"]
    finished = subprocess.run(command, capture_output=True, text=True)
    assert finished.returncode == 1
    assert finished.stdout == ""
    assert finished.stderr.startswith("small/study.yaml, line 6, column 'populations': 'yes'")
