"""A study of one's own: read from spreadsheets too, and what stands beside it left as it is."""

from openpyxl import Workbook, load_workbook
from ten_terms import typed, write_work
from workflow.conftest import run_felloe


def test_names_decisions_colours_and_labels_may_be_spreadsheets(tmp_path):
    write_work(tmp_path, "s.yaml")
    for name, rows in {
        "names": [["tier", "anchor", "name"], ["class", "hay", "Dry"]],
        "decisions": [
            ["term", "beside", "reason", "decided_on"],
            ["dill", "hay", "both are dry", "2026-03-27"],
        ],
        "colours": [["term", "respondent", "colour"], ["dill", "r1", "#aabbcc"]],
        "labels": [["id", "tier", "language", "label"], ["hay", "term", "pt-br", "feno"]],
    }.items():
        book = Workbook()
        for row in rows:
            book.active.append(row)
        book.save(tmp_path / "small" / f"{name}.xlsx")
    target = "results/small/validation/findings.csv"
    for line, changed in (("class,hay,Dry,", "Dry"), ("class,hay,Hay and dust,", "Hay and dust")):
        book = load_workbook(tmp_path / "small" / "names.xlsx")
        book.active["C2"] = changed
        book.save(tmp_path / "small" / "names.xlsx")  # the second time, what follows is made anew
        done = run_felloe(target, *typed("s.yaml"), cwd=tmp_path)
        assert done.returncode == 0, done.stderr
        names = (tmp_path / "results/small/validation/names.csv").read_text(encoding="utf-8")
        assert line in names
    decisions = (tmp_path / "results/small/validation/decisions.csv").read_text(encoding="utf-8")
    assert "both are dry" in decisions
    labels = (tmp_path / "results/small/validation/labels.csv").read_text(encoding="utf-8")
    assert "hay,term,pt-BR,feno," in labels


def test_results_that_are_named_no_more_are_said_and_left(tmp_path):
    write_work(tmp_path, "s.yaml")
    for place in ("results/older/validation", "results/editions/older--small"):
        (tmp_path / place).mkdir(parents=True)
        (tmp_path / place / "comparison.json").write_text("{}", encoding="utf-8")
    target = "results/small/validation/flow.csv"
    done = run_felloe(target, *typed("s.yaml"), cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines()[-2:] == [
        "results/older is of no study in these settings; it was left as it is.",
        "results/editions/older--small is of no pair of editions in these settings; "
        "it was left as it is.",
    ]
    assert (tmp_path / "results/older/validation/comparison.json").is_file()
