"""Translations as handed in: each fault by file, line and column; the plan reads the languages."""

import json

import openpyxl
import pytest
from felloe.validation.intake import bounds
from felloe.validation.intake.lexicon.languages import languages_of
from felloe.validation.intake.study import read_study
from felloe.validation.tables import LABELS
from study_folder import LIMITS, canonical, faults_of, with_text, write_folder

HEADER = ["id", "tier", "language", "label", "definition", "reference", "caution"]
ROWS = [
    ["garlic", "term", "pt-br", "alho", "", "", ""],
    ["brine", "class", "de", "Salz und Säure", "", "", ""],
    ["garlic", "term", "DE", "Knoblauch", "wie Knoblauch", "nur riechen", "keine bekannt"],
    ["garlic", "subclass", "de", "Lauchgewächse", "", "", ""],
]


def labelled(folder, *rows, header=HEADER):
    """Write a valid study with these translations."""
    filled = [[*row, *[""] * (len(header) - len(row))] for row in rows]
    return write_folder(folder, {"labels.csv": [header, *filled]})


def changed(line, column, value):
    rows = [list(row) for row in ROWS]
    rows[line - 2][HEADER.index(column)] = value
    return rows


def test_translations_are_kept_with_tags_as_the_standard_writes_them(tmp_path):
    folder = labelled(tmp_path / "study", *ROWS)
    files = canonical(folder, tmp_path / "out")
    kept = [tuple(row.values()) for row in LABELS.read(tmp_path / "out" / "labels.csv")]
    assert kept == [
        ("brine", "class", "de", "Salz und Säure", "", "", ""),
        ("garlic", "subclass", "de", "Lauchgewächse", "", "", ""),
        ("garlic", "term", "de", "Knoblauch", "wie Knoblauch", "nur riechen", "keine bekannt"),
        ("garlic", "term", "pt-BR", "alho", "", "", ""),
    ]
    assert json.loads(files["settings"])["language"] == "en"


def test_a_study_without_translations_has_an_empty_table(tmp_path):
    canonical(write_folder(tmp_path / "study"), tmp_path / "out")
    assert LABELS.read(tmp_path / "out" / "labels.csv") == []


def test_the_order_of_rows_is_no_matter(tmp_path):
    one = canonical(labelled(tmp_path / "one", *ROWS), tmp_path / "a")
    other = canonical(labelled(tmp_path / "other", *ROWS[::-1]), tmp_path / "b")
    assert one == other


FAULTS = {
    "an unknown term": (3, "id", "brien", "unknown term", "Did you mean 'brine'?"),
    "nothing like a term": (3, "id", "x9", "unknown term", "any term within it"),
    "an empty id": (3, "id", "", "is empty", "Fill the cell in"),
    "an unknown tier": (3, "tier", "clas", "'class'", "Write 'class'"),
    "the name of a language": (4, "language", "German", "RFC 5646", "Write de, pt-BR"),
    "an underscore in a tag": (4, "language", "de_AT", "RFC 5646", "Did you mean 'de-AT'?"),
    "no language": (4, "language", "", "is empty", "Fill the cell in"),
    "the study's own language": (4, "language", "EN", "own language", "study.yaml"),
    "no label": (2, "label", "", "is empty", "Fill the cell in"),
    "a label of several lines": (2, "label", "al\nho", "invisible", "anew"),
    "a label of a page": (2, "label", "x" * 5000, "the most is", "Shorten it"),
}


@pytest.mark.parametrize("case", FAULTS)
def test_a_fault_is_told_once_with_its_place(tmp_path, case):
    line, column, value, problem, remedy = FAULTS[case]
    folder = labelled(tmp_path / "study", *changed(line, column, value))
    (fault,) = faults_of(folder)
    assert (fault.file, fault.line, fault.column) == ("labels.csv", line, column)
    assert value.startswith(fault.value)
    assert problem in fault.problem
    assert remedy in fault.remedy


def test_a_second_label_in_one_language_is_a_fault_however_its_tag_is_written(tmp_path):
    folder = labelled(tmp_path / "study", *ROWS, ["garlic", "term", "de", "Knofel"])
    (fault,) = faults_of(folder)
    assert (fault.file, fault.line, fault.column) == ("labels.csv", 6, "id")
    assert "first on line 4" in fault.problem


def test_a_missing_column_is_named(tmp_path):
    folder = labelled(tmp_path / "study", ["garlic", "term", "de"], header=HEADER[:3])
    (fault,) = faults_of(folder)
    assert (fault.line, fault.column) == (1, "label")


def test_all_faults_come_in_one_run(tmp_path):
    rows = [
        ["brien", "term", "de", "Lake"],
        ["dill", "word", "de", "Dill"],
        ["dill", "term", "de", ""],
    ]
    assert [fault.line for fault in faults_of(labelled(tmp_path / "study", *rows))] == [2, 3, 4]


def test_a_definition_of_a_group_is_left_out_and_noted(tmp_path):
    folder = labelled(tmp_path / "study", ["brine", "class", "de", "Salz", "nach Salz"])
    study = read_study(folder, LIMITS)
    assert study.labels[0]["definition"] == ""
    assert [note.line for note in study.findings if "has no definition" in note.problem] == [2]


def test_two_terms_of_one_label_are_noted(tmp_path):
    rows = [["brine", "term", "de", "Lake"], ["smoke", "term", "de", "lake"]]
    study = read_study(labelled(tmp_path / "study", *rows), LIMITS)
    assert [
        note.line for note in study.findings if "also the label of 'brine'" in note.problem
    ] == [3]


def in_language(folder, tag):
    with_text("study.yaml", "edition:", f"language: {tag}\nedition:")(folder)
    return folder


@pytest.mark.parametrize(("given", "kept"), [("DE", "de"), ("pt-br", "pt-BR"), ("no", "no")])
def test_the_own_language_of_a_study_is_kept(tmp_path, given, kept):
    # `no`, Norwegian, is a truth value to other readers of YAML
    folder = in_language(write_folder(tmp_path / "study"), given)
    assert json.loads(canonical(folder, tmp_path / "out")["settings"])["language"] == kept


def test_a_study_in_no_language_is_a_fault(tmp_path):
    (fault,) = faults_of(in_language(write_folder(tmp_path / "study"), "German"))
    assert (fault.file, fault.line, fault.column) == ("study.yaml", 2, "language")


def test_the_rows_of_the_own_language_are_faults(tmp_path):
    folder = in_language(labelled(tmp_path / "study", *ROWS), "de")
    assert {(fault.line, fault.column) for fault in faults_of(folder)} == {(3, "language")} | {
        (4, "language")
    }


# The plan of a run is made before a study is checked: it sees the same languages, or none.


# Unicode 15.0, chapter 5.8: signs that part lines or paragraphs on a screen, and no CSV's rows
SEPARATING = {"a line separator in a cell": "\u2028", "a paragraph separator in a cell": "\u2029"}


def forms(folder):
    """Yield the ways in which somebody may have saved the same translations."""
    rows = [HEADER, *ROWS]
    plain = "\n".join(",".join(row) for row in rows) + "\n"
    quoted = "\n".join(",".join(f'"{cell}"' for cell in row) for row in rows)
    yield "commas", plain.encode()
    yield "semicolons", "\r\n".join(";".join(row) for row in rows).encode("utf-8-sig")
    yield "old ends of lines", plain.replace("\n", "\r").encode()
    yield "quotes", quoted.encode()
    yield "blank lines", ("\n ,,\n\n" + plain).encode()
    yield "blanks", plain.replace("pt-br", " pt-br\u200b ").encode()
    yield "lines in a cell", plain.replace("wie Knoblauch", '"wie, \nKnoblauch"').encode()
    for name, sign in SEPARATING.items():
        yield name, plain.replace("Knoblauch,", f"Knob{sign}lauch,").encode()


@pytest.mark.parametrize("form", [name for name, _ in forms(None)])
def test_the_plan_knows_the_languages_that_the_check_finds(tmp_path, form):
    folder = labelled(tmp_path / "study", *ROWS)
    (folder / "labels.csv").write_bytes(dict(forms(folder))[form])
    checked = {row["language"] for row in read_study(folder, LIMITS).labels}
    assert languages_of(folder, "en") == sorted(checked) == ["de", "pt-BR"]


def test_the_plan_reads_a_spreadsheet_too(tmp_path):
    folder = write_folder(tmp_path / "study")
    workbook = openpyxl.Workbook()
    for row in [HEADER, *ROWS]:
        workbook.active.append([cell or None for cell in row])
    workbook.save(folder / "labels.xlsx")
    checked = {row["language"] for row in read_study(folder, LIMITS).labels}
    assert languages_of(folder, "en") == sorted(checked) == ["de", "pt-BR"]


@pytest.mark.parametrize("suffix", ["csv", "xlsx"])
def test_the_plan_and_the_check_refuse_the_same_size(tmp_path, monkeypatch, suffix):
    rows = changed(4, "definition", "wie Knoblauch " * 200)  # the largest file of the study
    folder = labelled(tmp_path / "study", *rows)
    if suffix == "xlsx":
        (folder / "labels.csv").unlink()
        workbook = openpyxl.Workbook()
        for row in [HEADER, *rows]:
            workbook.active.append(row)
        workbook.save(folder / "labels.xlsx")
    size = (folder / f"labels.{suffix}").stat().st_size
    assert size > max(path.stat().st_size for path in folder.iterdir() if "labels" not in path.name)
    assert languages_of(folder, "en") == ["de", "pt-BR"]
    monkeypatch.setattr(bounds, "LARGEST_FILE", size - 1)
    assert languages_of(folder, "en") == []
    assert {fault.file for fault in faults_of(folder)} == {f"labels.{suffix}"}


BROKEN = {
    "no file": None,
    "nothing": b"",
    "other columns": b"id,tier\nbrine,term\n",
    "no text": b"\xff\xfei\0d\0",
    "not UTF-8": b"id,tier,language,label\nbrine,term,de,S\xe4ure\n",
    "an open quote": b'id,tier,language,label\nbrine,term,de,"Lake\n',
    "one tag that is none": b"id,tier,language,label\nbrine,term,de,Lake\ndill,term,German,Dill\n",
    "the own language alone": b"id,tier,language,label\nbrine,term,en,Brine\n",
    "a spreadsheet by name": b"PK\x03\x04",
}


@pytest.mark.parametrize("case", BROKEN)
def test_a_broken_file_gives_the_plan_no_language_and_the_check_a_fault(tmp_path, case):
    folder = write_folder(tmp_path / "study")
    if BROKEN[case] is not None:
        (folder / "labels.csv").write_bytes(BROKEN[case])
    assert languages_of(folder, "en") == []
    assert bool(faults_of(folder)) == (BROKEN[case] is not None)


def test_a_spreadsheet_that_is_none_gives_no_language(tmp_path):
    folder = write_folder(tmp_path / "study")
    (folder / "labels.xlsx").write_bytes(b"no spreadsheet")
    assert languages_of(folder, "en") == []
    assert [fault.file for fault in faults_of(folder)] == ["labels.xlsx"]


def test_both_forms_of_the_table_are_a_fault(tmp_path):
    folder = labelled(tmp_path / "study", *ROWS)
    (folder / "labels.xlsx").write_bytes(b"no spreadsheet")
    assert languages_of(folder, "en") == []
    assert [fault.file for fault in faults_of(folder)] == ["labels.xlsx"]
