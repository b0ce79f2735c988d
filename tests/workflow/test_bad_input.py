"""Bad input: one screen, no traceback, exit status not 0, earlier results untouched."""

import json
import os
import shutil
import subprocess
import sys

import pytest
from openpyxl import Workbook, load_workbook
from workflow.conftest import ROOT, run_felloe
from workflow.test_demo import hashes

TERMS = ["brine", "crisp", "dill", "garlic", "hay", "lactic", "mustard", "smoke", "sour", "yeast"]
SETTINGS = """
studies: {small: small}
bootstrap: {replicates: 100, parts: 1, null_replicates: 10}
comparison: {permutations: 99, shape_permutations: 99, splits: 20}
"""
SCREEN = 60  # lines


def write_study(folder):
    folder.mkdir()
    (folder / "study.yaml").write_text(
        "title: Small\nedition: 2026\ninstruction: Put together what belongs together.\n"
        "populations: {makers: Makers, panel: Panel}\n",
        encoding="utf-8",
    )
    lines = ["term,label,definition,reference,caution"]
    lines += [f"{term},{term.title()},a definition,a reference,none known" for term in TERMS]
    (folder / "terms.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    people = [(f"p{n:02d}", "makers" if n % 2 else "panel") for n in range(16)]
    lines = ["participant,population", *(",".join(person) for person in people)]
    (folder / "participants.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    lines = ["participant,term,pile"]
    for n, (person, _) in enumerate(people):
        lines += [
            f"{person},{term},{1 + (i + (n * i) % 3) % (3 + n % 3)}" for i, term in enumerate(TERMS)
        ]
    (folder / "sorts.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")


def replaced(name, old, new, count=1):
    def change(study):
        path = study / name
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new, count), encoding="utf-8")

    return change


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


def bare_snakemake(*typed, cwd):
    """Call Snakemake without the launcher; return what it said and its exit status."""
    command = [sys.executable, "-m", "snakemake", "--snakefile", str(ROOT / "Snakefile")]
    variables = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    return subprocess.run(
        [*command, "--cores", "1", *typed],
        cwd=cwd,
        env=variables,
        capture_output=True,
        text=True,
        timeout=300,
    )


@pytest.fixture(scope="module")
def finished_study(tmp_path_factory):
    """A small study that ran well once."""
    folder = tmp_path_factory.mktemp("small study")
    write_study(folder / "small")
    (folder / "mine.yaml").write_text(SETTINGS, encoding="utf-8")
    done = run_felloe("--configfile", "mine.yaml", "--directory", ".", cwd=folder)
    assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-4000:]
    return folder


def refused(folder, *typed, call=run_felloe, status=1):
    finished = call(*typed, cwd=folder)
    said = finished.stdout + finished.stderr
    assert finished.returncode == status
    assert "Traceback" not in said
    assert len(said.splitlines()) <= SCREEN
    return said


def refused_and_left_alone(finished_study, change, call=run_felloe):
    """Refuse a changed study; return what was said. Nothing that was made earlier changes."""
    study = finished_study / "small"
    good = finished_study / "good"
    shutil.copytree(study, good)
    before = hashes(finished_study / "results")
    try:
        change(study)
        said = refused(finished_study, "--configfile", "mine.yaml", "--directory", ".", call=call)
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
    said = refused(tmp_path / "here", "--configfile", "mine.yaml", "--directory", ".")
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
        said = refused(tmp_path, "--configfile", "mine.yaml", "--directory", ".", call=call)
        assert "first/study.yaml, line 2" in said
        assert "second/study.yaml, line 4" in said
        assert not (tmp_path / "results").exists()


@pytest.mark.parametrize("line", ["seed: 1\nseed: 2\n", "circle: {class_gap: .nan}\n"])
def test_without_the_launcher_settings_are_read_as_strictly(tmp_path, line):
    write_study(tmp_path / "small")
    (tmp_path / "mine.yaml").write_text(SETTINGS + line, encoding="utf-8")
    typed = ("--configfile", "mine.yaml", "--directory", ".")
    assert "mine.yaml, line" in refused(tmp_path, *typed, call=bare_snakemake)


LONE = "studies: {small: small}\n"
# what a settings file holds, and what is said of it
FAULTY_SETTINGS = {
    "a date that is none": (LONE + "seed: 2026-02-30\n", ["line 2", "seed", "date"]),
    "5,000 digits": (LONE + "seed: " + "9" * 5000 + "\n", ["line 2", "at most 30 characters"]),
    "3,000 brackets": (LONE + "seed: " + "[" * 3000 + "\n", ["line 2", "brackets"]),
    "aliases that multiply": (
        "a0: &a0 {x: 1}\n"
        + "".join(
            f"a{n}: &a{n} {{{', '.join(f'k{k}: *a{n - 1}' for k in range(10))}}}\n"
            for n in range(1, 12)
        ),
        ["line 2", "alias"],
    ),
    "no number": (LONE + "circle: {class_gap: .nan}\n", ["line 2", "circle.class_gap"]),
    "a number for a name": ("studies:\n  2026: small\n", ["line 2", "in quotes, '2026'", "name"]),
    "a truth value for a name": ("studies:\n  no: small\n", ["line 2", "in quotes, 'no'", "name"]),
    "two pairs with one path": (
        "studies: {a: small, b--c: small, a--b: small, c: small}\n"
        "editions: [[a, b--c], [a--b, c]]\n",
        ["editions.0", "results/editions/a--b--c", "Rename"],
    ),
}


@pytest.mark.parametrize(
    ("fault", "shown"),
    # without the check before it the engine ends in tracebacks, also where it only shows
    [*((fault, []) for fault in FAULTY_SETTINGS), ("5,000 digits", ["-n"])],
)
def test_faulty_settings_are_one_line_that_cures(fault, shown, tmp_path):
    text, parts = FAULTY_SETTINGS[fault]
    write_study(tmp_path / "small")
    (tmp_path / "s.yaml").write_text(text, encoding="utf-8")
    before = hashes(tmp_path)
    (told,) = refused(tmp_path, "--configfile", "s.yaml", "--directory", ".", *shown).splitlines()
    assert told.startswith("s.yaml, ")
    assert len(told) < 400
    for part in parts:
        assert part in told
    assert hashes(tmp_path) == before


# what is typed, and what is said of it
WRONG_COMMANDS = {
    "a settings file without its option": (["s.yaml"], "run --configfile s.yaml"),
    "a folder that is not there": (
        ["--configfile", "s.yaml", "--directory", "my/words"],
        "mkdir -p my/words",
    ),
    "a mistyped folder": (["--configfile", "s.yaml", "--directory", "smal"], "Did you mean small?"),
}


@pytest.mark.parametrize("case", WRONG_COMMANDS)
def test_a_wrong_command_line_ends_with_status_2_and_makes_nothing(case, tmp_path):
    typed, words = WRONG_COMMANDS[case]
    write_study(tmp_path / "small")
    (tmp_path / "s.yaml").write_text(LONE, encoding="utf-8")
    before = sorted(tmp_path.rglob("*"))
    (told,) = refused(tmp_path, *typed, status=2).splitlines()
    assert words in told
    assert sorted(tmp_path.rglob("*")) == before


@pytest.mark.parametrize("place", [".snakemake", "results", "results/small"])
def test_what_stands_where_a_run_has_to_write_is_told_before_it_starts(place, tmp_path):
    write_study(tmp_path / "small")
    (tmp_path / "s.yaml").write_text(LONE, encoding="utf-8")
    (tmp_path / place).parent.mkdir(exist_ok=True)
    (tmp_path / place).write_text("of another kind\n", encoding="utf-8")
    before = hashes(tmp_path)
    (told,) = refused(tmp_path, "--configfile", "s.yaml", "--directory", ".").splitlines()
    assert told.startswith(f"{place}: is no folder")
    assert "--directory" in told
    assert hashes(tmp_path) == before


def test_names_decisions_colours_and_labels_may_be_spreadsheets(tmp_path):
    write_study(tmp_path / "small")
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
    (tmp_path / "s.yaml").write_text(LONE, encoding="utf-8")
    target = "results/small/validation/findings.csv"
    typed = [target, "--configfile", "s.yaml", "--directory", "."]
    for line, changed in (("class,hay,Dry,", "Dry"), ("class,hay,Hay and dust,", "Hay and dust")):
        book = load_workbook(tmp_path / "small" / "names.xlsx")
        book.active["C2"] = changed
        book.save(tmp_path / "small" / "names.xlsx")  # the second time, what follows is made anew
        done = run_felloe(*typed, cwd=tmp_path)
        assert done.returncode == 0, done.stderr
        names = (tmp_path / "results/small/validation/names.csv").read_text(encoding="utf-8")
        assert line in names
    decisions = (tmp_path / "results/small/validation/decisions.csv").read_text(encoding="utf-8")
    assert "both are dry" in decisions
    labels = (tmp_path / "results/small/validation/labels.csv").read_text(encoding="utf-8")
    assert "hay,term,pt-BR,feno," in labels


def test_results_that_are_named_no_more_are_said_and_left(tmp_path):
    write_study(tmp_path / "small")
    (tmp_path / "s.yaml").write_text(LONE, encoding="utf-8")
    for place in ("results/older/validation", "results/editions/older--small"):
        (tmp_path / place).mkdir(parents=True)
        (tmp_path / place / "comparison.json").write_text("{}", encoding="utf-8")
    target = "results/small/validation/flow.csv"
    done = run_felloe(target, "--configfile", "s.yaml", "--directory", ".", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines()[-2:] == [
        "results/older is of no study in these settings; it was left as it is.",
        "results/editions/older--small is of no pair of editions in these settings; "
        "it was left as it is.",
    ]
    assert (tmp_path / "results/older/validation/comparison.json").is_file()


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
    refused(tmp_path, "--configfile", "mine.yaml", "--directory", ".")
    assert not list(tmp_path.glob("results/*/matrices"))


def test_a_missing_study_folder_is_told(tmp_path):
    (tmp_path / "mine.yaml").write_text("studies: {mine: nowhere}\n", encoding="utf-8")
    said = refused(tmp_path, "--configfile", "mine.yaml", "--directory", ".")
    assert "nowhere" in said
    assert not (tmp_path / "results").exists()


def test_an_unknown_key_is_told_with_the_nearest_known_one(tmp_path):
    write_study(tmp_path / "small")
    (tmp_path / "mine.yaml").write_text(
        SETTINGS + "clusterign: {linkage: ward}\n", encoding="utf-8"
    )
    said = refused(tmp_path, "--configfile", "mine.yaml", "--directory", ".")
    assert "clusterign" in said
    assert "clustering" in said


def test_a_settings_file_that_is_not_there_is_told(tmp_path):
    assert "none.yaml" in refused(tmp_path, "--configfile", "none.yaml", status=2)


def test_settings_that_are_no_yaml_are_told_with_their_line(tmp_path):
    (tmp_path / "mine.yaml").write_text("seed: 1\nstudies: [\n", encoding="utf-8")
    said = refused(tmp_path, "--configfile", "mine.yaml")
    assert "mine.yaml, line" in said


def test_a_target_that_nobody_makes_is_told(finished_study):
    said = refused(
        finished_study, "results/small/nothing.csv", "--configfile", "mine.yaml", "--directory", "."
    )
    assert "nothing.csv" in said


def test_a_study_of_ones_own_does_not_inherit_the_demo(finished_study):
    assert [path.name for path in (finished_study / "results").iterdir()] == ["small"]
