"""Bad input: one screen, no traceback, exit status not 0, earlier results untouched."""

import json
import shutil

import pytest
from ten_terms import (
    SETTINGS,
    TERMS,
    bare_snakemake,
    refused,
    replaced,
    typed,
    write_study,
    write_work,
)
from workflow.conftest import run_felloe
from workflow.test_demo import hashes


def emptied(name):
    return lambda study: (study / name).write_text("", encoding="utf-8")


def recoded(study):
    text = (study / "terms.csv").read_text(encoding="utf-8").replace("Brine", "Lakegärung")
    (study / "terms.csv").write_bytes(text.encode("latin-1"))


def removed(name):
    return lambda study: (study / name).unlink()


def labelled(*rows):
    """Return a change: these translations beside the other tables."""
    text = "\n".join(["id,tier,language,label", *rows]) + "\n"
    return lambda study: (study / "labels.csv").write_text(text, encoding="utf-8")


BAD = {
    "a wrong column": (
        replaced("sorts.csv", "participant,term,pile", "participant,term,heap"),
        ["sorts.csv", "pile"],
    ),
    "an unknown term": (
        replaced("sorts.csv", "p03,garlic,", "p03,gralic,"),
        ["sorts.csv", "line 35", "gralic", "garlic"],
    ),
    "a term sorted twice": (
        replaced("sorts.csv", "p03,garlic,", "p03,dill,"),
        ["sorts.csv", "line", "p03", "dill"],
    ),
    "a participant without population": (
        replaced("participants.csv", "p05,makers", "p05,"),
        ["participants.csv", "line 7"],
    ),
    "an undeclared population": (
        replaced("participants.csv", "p05,makers", "p05,makres"),
        ["makres", "makers"],
    ),
    "an empty file": (emptied("sorts.csv"), ["sorts.csv", "empty"]),
    "an empty settings file": (emptied("study.yaml"), ["study.yaml"]),
    "a file that is not UTF-8": (recoded, ["terms.csv", "line 2", "UTF-8"]),
    "a pile that is a formula": (
        replaced("sorts.csv", "p03,garlic,", "p03,garlic,=1+"),
        ["sorts.csv", "line 35", "pile"],
    ),
    "a pile that is HTML": (
        replaced("sorts.csv", "p03,garlic,", "p03,garlic,<script>alert(1)</script>"),
        ["sorts.csv", "line 35", "pile"],
    ),
    "a missing table": (removed("participants.csv"), ["participants.csv"]),
    "a label in no language": (
        labelled("dill,term,de,Dill", "hay,term,German,Heu"),
        ["labels.csv, line 3, column 'language'", "German", "RFC 5646"],
    ),
}


POPULATIONS = "populations: {makers: Makers, panel: Panel}"
# what is put in place of a line of study.yaml, the line, and what is said of it
HEADERS = {
    "a population in capitals": (POPULATIONS, "populations: {Makers: Makers}", 4, "Makers"),
    "a population of two words": (POPULATIONS, "populations: {my makers: Makers}", 4, "my makers"),
    "a population that is a truth value": (POPULATIONS, "populations: {yes: Makers}", 4, "quotes"),
    "a population that leaves the folder": (POPULATIONS, "populations: {../x: X}", 4, "../x"),
    "a month that is none": ("2026", "2016-13-01", 2, "neither a year nor a date"),
    "3,000 nested brackets": ("2026", "[" * 3000, 2, "nested"),
    "an alias": ("Small\nedition: 2026", "&a Small\nedition: *a", 2, "alias"),
    "a number that is none": ("2026", ".nan", 2, "neither a year nor a date"),
    "a year of 5,000 digits": ("2026", "9" * 5000, 2, "neither a year nor a date"),
    "a huge file": ("title: Small", "#\n" * 200_000 + "title: Small", 131_073, "longer"),
}


@pytest.fixture(scope="module")
def finished_study(tmp_path_factory):
    """A small study that ran well once."""
    folder = tmp_path_factory.mktemp("small study")
    write_work(folder, "mine.yaml", SETTINGS)
    done = run_felloe(*typed("mine.yaml"), cwd=folder)
    assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-4000:]
    return folder


def refused_and_left_alone(finished_study, change, call=run_felloe):
    """Refuse a changed study; return what was said. Nothing that was made earlier changes."""
    study = finished_study / "small"
    good = finished_study / "good"
    shutil.copytree(study, good)
    before = hashes(finished_study / "results")
    try:
        change(study)
        said = refused(finished_study, *typed("mine.yaml"), call=call)
    finally:
        shutil.rmtree(study)
        good.rename(study)
    assert hashes(finished_study / "results") == before
    return said


@pytest.mark.parametrize("fault", BAD)
def test_a_fault_is_told_and_earlier_results_stay(finished_study, fault):
    change, parts = BAD[fault]
    said = refused_and_left_alone(finished_study, change)
    for part in parts:
        assert part in said


def test_labels_that_meet_in_one_group_are_told_when_groups_are_known(finished_study, tmp_path):
    shutil.copytree(finished_study, tmp_path / "here")
    labelled(*(f"{term},class,de,Klasse {term}" for term in TERMS))(tmp_path / "here" / "small")
    said = refused(tmp_path / "here", *typed("mine.yaml"))
    assert "labels.csv, column 'id': 'brine': labels the class" in said
    assert "Keep one of these rows." in said
    assert not (tmp_path / "here" / "results" / "small" / "report" / "chart.de.json").exists()


@pytest.mark.parametrize("fault", HEADERS)
def test_a_faulty_header_is_told_before_anything_is_planned(finished_study, fault):
    old, new, line, words = HEADERS[fault]
    said = refused_and_left_alone(finished_study, replaced("study.yaml", old, new))
    (told,) = said.splitlines()
    assert told.startswith(f"small/study.yaml, line {line}")
    assert words in told


@pytest.mark.parametrize("fault", HEADERS)
def test_a_faulty_header_is_told_without_the_launcher_too(finished_study, fault):
    old, new, line, words = HEADERS[fault]
    change = replaced("study.yaml", old, new)
    said = refused_and_left_alone(finished_study, change, call=bare_snakemake)
    (told,) = [text for text in said.splitlines() if "study.yaml" in text]
    assert told.startswith(f"small/study.yaml, line {line}")
    assert words in told
    assert said.count("WorkflowError") == 1
    assert "RuleException" not in said


def test_faulty_headers_of_all_studies_come_on_one_screen(tmp_path):
    write_study(tmp_path / "first")
    write_study(tmp_path / "second")
    replaced("study.yaml", "2026", "2016-13-01")(tmp_path / "first")
    replaced("study.yaml", "panel:", "../x:")(tmp_path / "second")
    settings = SETTINGS.replace("{small: small}", "{one: first, two: second}")
    (tmp_path / "mine.yaml").write_text(settings, encoding="utf-8")
    for call in (run_felloe, bare_snakemake):
        said = refused(tmp_path, *typed("mine.yaml"), call=call)
        assert "first/study.yaml, line 2" in said
        assert "second/study.yaml, line 4" in said
        assert not (tmp_path / "results").exists()


def test_the_results_are_those_of_the_populations_that_validation_read(finished_study):
    study = json.loads((finished_study / "results/small/validation/study.json").read_text())
    made = {path.name.split(".")[0] for path in finished_study.glob("results/small/matrices/*.csv")}
    assert made == {*study["populations"], "pooled"}


def test_one_faulty_study_keeps_the_others_from_being_computed(finished_study, tmp_path):
    write_study(tmp_path / "good")
    write_study(tmp_path / "bad")
    replaced("sorts.csv", "p03,garlic,", "p03,gralic,")(tmp_path / "bad")
    (tmp_path / "mine.yaml").write_text(
        SETTINGS.replace("{small: small}", "{good: good, bad: bad}"), encoding="utf-8"
    )
    refused(tmp_path, *typed("mine.yaml"))
    assert not list(tmp_path.glob("results/*/matrices"))


def test_a_target_that_nobody_makes_is_told(finished_study):
    said = refused(finished_study, "results/small/nothing.csv", *typed("mine.yaml"))
    assert "nothing.csv" in said


def test_a_study_of_ones_own_does_not_inherit_the_demo(finished_study):
    assert [path.name for path in (finished_study / "results").iterdir()] == ["small"]
