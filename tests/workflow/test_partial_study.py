"""A lexicon that nobody sorts whole, from `design.csv` to report, wheel and tables."""

import json
import shutil

import numpy as np
import pytest
from felloe.ground.files.tables import read_square
from felloe.matrices.tables import UNSEEN
from felloe.validation.tables import DESIGN, FLOW
from page_reader import Reader
from partial_example import (
    SETTINGS,
    STUDY,
    example,
    long_rows,
    write_partial_study,
    write_words,
)
from study_folder import write_rows
from workflow.conftest import run_felloe

PILES, SHOWN = example(n_shown=12)
WHOLE = "whole"
TREES = """
studies: {parts: parts, whole: whole}
matrices: {prior: 0}
"""


def run(folder, settings, *targets):
    """Run some settings in a folder; return what came of it."""
    (folder / "settings.yaml").write_text(settings, encoding="utf-8")
    return run_felloe(
        "--configfile", "settings.yaml", "--directory", ".", *targets, cwd=folder
    )  # fmt: skip


@pytest.fixture(scope="module")
def results(tmp_path_factory):
    """The results of a study of 40 terms of which each of 60 people saw 12."""
    folder = tmp_path_factory.mktemp("in parts") / "a folder"
    write_partial_study(folder / STUDY, PILES, SHOWN)
    finished = run(folder, SETTINGS)
    assert finished.returncode == 0, finished.stdout[-3000:] + finished.stderr[-3000:]
    return folder / "results" / STUDY


def test_report_wheel_and_tables_are_made(results):
    for name in ("report/report.html", "report/wheel.html", "report/tables.xlsx",
                 "figures/wheel.pdf", "manifest.json"):  # fmt: skip
        assert (results / name).stat().st_size > 1000


def test_the_distances_are_drawn_to_the_mean(results):
    _, together = read_square(results / "matrices/pooled.together.csv")
    _, both = read_square(results / "matrices/pooled.both.csv")
    assert (both.diagonal() == SHOWN.sum(axis=0)).all()
    upper = np.triu_indices(40, 1)
    mean = together[upper].sum() / both[upper].sum()
    expected = 1 - (together + mean) / (both + 1)
    _, found = read_square(results / "clustering/distances.csv")
    assert found[upper] == pytest.approx(expected[upper], abs=1e-12)


def test_the_design_stands_in_one_form_and_is_no_open_table(results):
    rows = DESIGN.read(results / "validation/design.csv")
    assert len(rows) == SHOWN.sum()
    manifest = json.loads((results / "manifest.json").read_text(encoding="utf-8"))
    assert {"design.csv", "sorts.csv"} <= set(manifest["inputs"])
    assert "validation/design.csv" in manifest["outputs"]


def test_unseen_pairs_and_observers_are_told(results):
    record = json.loads((results / "matrices/observers.json").read_text(encoding="utf-8"))
    rows = UNSEEN.read(results / "matrices/unseen.csv")
    assert {row["population"] for row in rows} == {"makers", "panel"}
    for number, name in enumerate(("makers", "panel")):
        seen = SHOWN[30 * number : 30 * (number + 1)].astype(int)
        both = (seen.T @ seen)[np.triu_indices(40, 1)]
        told = record["populations"][name]
        assert (told["least"], told["largest"]) == (both.min(), both.max())
        assert sum(row["population"] == name for row in rows) == (both == 0).sum()


def test_nobody_is_left_out_for_what_they_were_not_shown(results):
    assert {row["lost"] for row in FLOW.read(results / "validation/flow.csv")} == {0}
    dossier = json.loads((results / "comparison/populations.json").read_text(encoding="utf-8"))
    assert dossier["missing"]["unplaced"] == 0
    assert dossier["missing"]["placements"] == SHOWN.sum()


def test_the_report_says_what_a_set_shown_does_to_a_sort(results):
    page = (results / "report/report.html").read_text(encoding="utf-8")
    text = " ".join(Reader(page).text.split())
    for words in (
        "Each participant was shown 12 of the 40 terms",
        "A pile depends on what else lies on the table",
        "the piles expected of as many of the person's own terms",
        "whole sorts can be worked out from the counts",
        "compared at equal numbers only",
        "neither apart from others nor a term that was not placed",
        "6 of 780 pairs (0.8 %) were placed by nobody; they take the mean",
        "matrices/unseen.csv",
        "cannot be told from the simulated ones. It lies outside them: 40 terms, for 100 to 600",
        "12 terms before each person, for 15 to 150",
    ):
        assert words in text
    assert "sorted the same" not in text


def test_a_design_that_shows_everything_gives_the_tree_of_whole_sorts(tmp_path):
    everything = np.ones_like(SHOWN)
    write_partial_study(tmp_path / STUDY, PILES, everything)
    write_words(tmp_path / WHOLE)
    write_rows(tmp_path / WHOLE / "sorts.csv", long_rows(PILES, everything))
    targets = [
        f"results/{study}/clustering/{name}.csv"
        for study in (STUDY, WHOLE)
        for name in ("distances", "linkage")
    ]
    finished = run(tmp_path, SETTINGS.replace("studies: {parts: parts}", TREES), *targets)
    assert finished.returncode == 0, finished.stdout[-3000:] + finished.stderr[-3000:]
    for name in ("distances", "linkage"):
        one, other = (
            (tmp_path / f"results/{study}/clustering/{name}.csv").read_bytes()
            for study in (STUDY, WHOLE)
        )
        assert one == other
    assert not (tmp_path / "results/whole/validation/design.csv").exists()
    assert not (tmp_path / "results/whole/matrices/unseen.csv").exists()


def test_a_bad_design_stops_the_run_on_one_screen(tmp_path):
    write_partial_study(tmp_path / STUDY, PILES, SHOWN)
    path = tmp_path / STUDY / "design.csv"
    lines = path.read_text(encoding="utf-8").splitlines()
    path.write_text("\n".join([lines[0], *lines[2:]]) + "\n", encoding="utf-8")
    finished = run(tmp_path, SETTINGS)
    said = finished.stdout + finished.stderr
    assert finished.returncode != 0
    assert "parts/sorts.csv, line 2, column 'term'" in said
    assert "was not shown" in said
    assert "Traceback" not in said
    assert not (tmp_path / "results" / STUDY / "validation" / "sorts.csv").exists()
    shutil.rmtree(tmp_path / "results", ignore_errors=True)
