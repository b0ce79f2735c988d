"""Results that the settings no longer name are said, one line each, and left alone."""

import pytest
from felloe.launching.planning import stale
from felloe.launching.planning.stale import left_over, stale_results
from felloe.validation.intake.study_file import StudyFile
from study_folder import write_folder

SETTINGS = {
    "studies": {"new": "data/new", "old": "data/old"},
    "editions": [["old", "new"]],
    "figures": {"pdf": False},
}
HEADERS = {name: StudyFile(populations={"panel": "Panel"}) for name in SETTINGS["studies"]}
MADE = [
    "old/validation/sorts.csv",
    "old/matrices/panel.together.csv",
    "old/matrices/panel.both.csv",
    "old/matrices/pooled.both.csv",
    "new/manifest.json",
    "editions/old--new/comparison.json",
]


@pytest.fixture
def results(tmp_path):
    def made(*names):
        for name in [*MADE, *names]:
            (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
            (tmp_path / name).touch()
        return tmp_path

    return made


def told(folder):
    return [
        line.replace(f"{folder.as_posix()}/", "")
        for line in stale_results(folder, SETTINGS, HEADERS)
    ]


def test_results_of_what_is_named_are_not_stale(results):
    assert told(results()) == []


def test_a_study_that_is_named_no_more_is_told(results):
    folder = results("older/validation/sorts.csv")
    assert told(folder) == ["older is of no study in these settings; it was left as it is."]


LABELS = "id,tier,language,label\ndill,term,de,Dill\n"


@pytest.mark.parametrize(
    ("labels", "dropped"),
    [(None, ["de", "fr"]), (LABELS, ["fr"]), (LABELS.replace(",de,", ",German,"), [])],
)
def test_languages_that_a_study_has_no_more_are_told(
    labels, dropped, results, tmp_path, monkeypatch
):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "data" / "old").mkdir(parents=True)
    if labels:
        (tmp_path / "data" / "old" / "labels.csv").write_text(labels, encoding="utf-8")
    names = [f"old/report/chart{tag}.json" for tag in ("", ".de", ".fr")]
    folder = results(*names) / "."
    expected = [
        f"old/report holds products in '{name}', no language of data/old/labels.csv; "
        "they were left as they are."
        for name in dropped
    ]
    assert [line for line in told(folder) if "products" in line] == expected


MINE = ["old/figures/wheel.pdf", "old/figures/wheel.svg", "old/figures/wheel_a4.de.pdf",
        "old/figures/wheel_a4.de.svg", "old/figures/notes.pdf"]  # fmt: skip


@pytest.mark.parametrize("home", ["old", "editions/old--new"])
def test_figures_as_pdf_that_nothing_asks_for_are_told_and_prints_are_not(home, results):
    assert told(results(*MINE)) == []
    folder = results(f"{home}/figures/wheels.pdf", f"{home}/figures/wheels.svg")
    assert told(folder) == [
        f"{home}/figures holds figures as PDF, which `figures.pdf` in these settings does not ask "
        "for; they were left as they are."
    ]
    asked = {**SETTINGS, "figures": {"pdf": True}}
    assert stale_results(folder, asked, HEADERS) == []


def test_a_timeline_that_is_named_no_more_is_told_beside_a_comparison_that_is(results):
    (line,) = told(results("editions/old--new/timeline.json"))
    assert line.startswith("editions/old--new holds a timeline of no list in these settings")


@pytest.mark.parametrize("name", ["new--old", "older--old"])
def test_a_comparison_that_is_named_no_more_is_told(name, results):
    (line,) = told(results(f"editions/{name}/report.html"))
    assert line.startswith(f"editions/{name} is of no pair of editions")


def test_counts_of_a_population_that_is_declared_no_more_are_told_once(results):
    folder = results("old/matrices/makers.together.csv", "old/matrices/makers.both.csv")
    (line,) = told(folder)
    assert line.startswith("old/matrices holds counts of 'makers', no population in data/old/")


@pytest.mark.parametrize(
    "name", ["README.md", "notes/of-mine.txt", "editions/notes/x.txt", "old/matrices/README.md"]
)
def test_what_no_run_made_is_passed_over(name, results):
    assert told(results(name)) == []


def test_a_folder_without_results_has_nothing_stale(tmp_path):
    assert stale_results(tmp_path / "results", SETTINGS, HEADERS) == []


def test_nothing_is_changed_by_saying_it(results):
    folder = results("older/validation/sorts.csv")
    before = sorted(folder.rglob("*"))
    told(folder)
    assert sorted(folder.rglob("*")) == before


@pytest.fixture
def here(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    write_folder(tmp_path / "small")
    (tmp_path / "s.yaml").write_text("studies: {small: small}\n", encoding="utf-8")
    return tmp_path


def test_the_run_says_them_by_their_path_in_the_working_folder(here):
    (here / "results/gone/validation").mkdir(parents=True)
    (here / "results/small/matrices").mkdir(parents=True)
    (here / "results/small/matrices/women.both.csv").touch()
    first, second = left_over(["s.yaml"])
    assert first.startswith("results/gone is of no study")
    assert second.startswith("results/small/matrices holds counts of 'women'")
    assert second.split("no population in ")[1].startswith("small/study.yaml")


def test_many_are_told_on_one_screen(here):
    for at in range(100):
        (here / f"results/gone-{at:02d}/validation").mkdir(parents=True)
    lines = left_over(["s.yaml"])
    assert len(lines) == stale.SHOWN + 1
    assert lines[-1].startswith(f"... and {100 - stale.SHOWN} more")


def test_a_run_that_went_well_is_not_spoilt_by_settings_changed_meanwhile(here):
    (here / "s.yaml").write_text("sed: 1\n", encoding="utf-8")
    assert left_over(["s.yaml"]) == []
