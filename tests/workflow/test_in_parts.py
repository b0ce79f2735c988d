"""The demo study that nobody sorted whole: what was planted comes back, and the report says why."""

import csv
import json
import shutil

import numpy as np
import pytest
from felloe.ground.agreement import adjusted_rand
from page_reader import Reader
from workflow.conftest import ROOT, run_felloe

STUDY = "pantry-2026"
# fewer replicates than a published study; every step and every file is the same
FEWER = """
bootstrap: {replicates: 100, parts: 1, null_sets: 2, null_replicates: 10}
clustering: {tie_orders: 20, null_replicates: 10}
comparison: {permutations: 99, shape_permutations: 99, splits: 20}
stability: {curve_repeats: 5, curve_steps: 3}
map: {rounds: 10, most_dimensions: 3, bootstrap: 10, null_replicates: 5}
circle: {adjacency_replicates: 20, random_drawings: 20, free_tour_starts: 5}
"""


@pytest.fixture(scope="module")
def results(tmp_path_factory):
    """The results of the study, run by its own settings file in another folder."""
    folder = tmp_path_factory.mktemp("in parts") / "a folder"
    shutil.copytree(ROOT / "demo_data" / STUDY, folder / "demo_data" / STUDY)
    (folder / "fewer.yaml").write_text(FEWER, encoding="utf-8")
    own = str(ROOT / "config" / "in_parts.yaml")
    finished = run_felloe("--configfile", own, "fewer.yaml", "--directory", ".", cwd=folder)
    assert finished.returncode == 0, finished.stdout[-3000:] + finished.stderr[-3000:]
    return folder / "results" / STUDY


def table(path):
    with open(path, encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def test_the_planted_classes_come_back(results):
    # simulated studies with 6 people a pair and usual care gave back .97 and more (planning notes);
    # below .90 more than one term in twenty would sit in another class than planted
    planted = {row["term"]: row["class"] for row in table(ROOT / f"demo_data/{STUDY}.planted.csv")}
    found = {row["term"]: row["class"] for row in table(results / "tiers/data_only.csv")}
    assert found.keys() == planted.keys()
    pairs = [(found[term], planted[term]) for term in planted]
    assert adjusted_rand(*map(np.array, zip(*pairs, strict=True))) > 0.90


def test_only_who_piled_in_the_order_shown_is_left_out(results):
    # demo_data/README.md, "Sorted in parts": one followed the order, one left 6 of 60 terms aside
    rows = table(results / "validation/exclusions.csv")
    assert [row["rules"] for row in rows] == ["order_following"]
    dossier = json.loads((results / "comparison/populations.json").read_text(encoding="utf-8"))
    assert dossier["missing"]["unplaced"] == 6
    assert dossier["missing"]["placements"] == 143 * 60


def test_the_report_says_where_on_the_table_of_simulated_studies_it_lies(results):
    # 143 people of 60 terms in 240 see a pair 143 * 60 * 59 / (240 * 239) = 8.8 times in the mean;
    # twice as many makers as panel, so the populations weigh the same, and it counts as fewer
    assert json.loads((results / "comparison/chart.json").read_text())["weights"] == "equal"
    noise, pairs = 0.0, 0
    for name in ("panel", "makers"):
        rows = table(results / f"matrices/{name}.both.csv")
        for at, row in enumerate(rows):
            for both in [*row.values()][1 : at + 1]:
                noise, pairs = noise + 1 / (int(both) + 1), pairs + 1
    counts_as = 2 * (pairs / noise - 1)
    assert 5.5 < counts_as < 8.8  # between 150 people of 60 terms in 300 and 300 of them
    text = Reader((results / "report/report.html").read_text(encoding="utf-8")).text
    for words in (
        "Each participant was shown 60 of the 240 terms",
        "In the median 9 placed both terms of a pair",
        "the populations weigh the same",
        f"counts as one in which {counts_as:.1f} people placed every pair",
        "300 terms in 10 classes of 3 subclasses, 60 before each person",
        "Which row holds for this study nobody knows",
        "gave back classes where up to 30% of the terms went astray",
    ):
        assert words in text
    assert "lies outside" not in text


def test_wheel_and_tables_are_made(results):
    for name in ("report/wheel.html", "report/tables.xlsx", "figures/wheel.pdf", "manifest.json"):
        assert (results / name).stat().st_size > 1000
