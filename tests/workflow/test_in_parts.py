"""The demo study that nobody sorted whole: what was planted comes back, and the report says why."""

import csv
import json
import shutil
import sys

import numpy as np
import pytest
from felloe.ground.files.tables import read_square
from felloe.ground.groups.agreement import adjusted_rand
from page_reader import Reader
from scipy.cluster.hierarchy import fcluster, linkage
from scipy.stats import t
from workflow.conftest import ROOT, run_felloe

sys.path.append(str(ROOT / "demo_data"))  # what wrote the study: other people are drawn by it too

import demo_parts
import make_demo

STUDY = "pantry-2026"
TIERS = ("class", "subclass")
SISTERS = 12
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


@pytest.fixture(scope="module")
def planted():
    """The class and subclass of each term that was planted somewhere."""
    rows = table(ROOT / f"demo_data/{STUDY}.planted.csv")
    return {row["term"]: row for row in rows if row["class"]}


def found_again(found, planted, tier):
    """Return the adjusted Rand index of groups with those that were planted."""
    pairs = [(found[term], planted[term][tier]) for term in planted]
    return adjusted_rand(*map(np.array, zip(*pairs, strict=True)))


def sisters(numbers, planted):
    """Return what other invented people who see the same sets give back, cut at given numbers."""
    lexicon = demo_parts.parts_lexicon(make_demo.read_source("pantry.csv"))
    shown = demo_parts.shown_to(ROOT / "demo_data" / STUDY / "design.csv")
    for seed in range(SISTERS):
        rng = np.random.default_rng((2, seed))
        people = demo_parts.people_of(rng)
        sorts = demo_parts.sorts_of(rng, lexicon, people, shown)
        tree = linkage(apart(lexicon.terms, people, sorts), "average")
        for tier, number in numbers.items():
            found = dict(zip(lexicon.terms, fcluster(tree, number, "maxclust"), strict=True))
            yield tier, found_again(found, planted, tier)


def apart(terms, people, sorts):
    """Return condensed distances: the populations weigh alike, one observer stands at the mean."""
    upper, shares = np.triu_indices(len(terms), 1), []
    for population in {own.name for own in people.values()}:
        members = [sorts[person] for person, own in people.items() if own.name == population]
        piles = np.array([[own.get(term) or 0 for term in terms] for own in members])
        both = ((piles > 0).T.astype(float) @ (piles > 0))[upper]
        together = sum((row[:, None] == row) & (row > 0) for row in piles)[upper]
        shares.append((together + together.sum() / both.sum()) / (both + 1))
    return 1 - np.mean(shares, axis=0)


def told(results):
    """Return the text of the report, blanks of every width as one."""
    page = (results / "report/report.html").read_text(encoding="utf-8")
    return " ".join(Reader(page).text.split())


def test_planted_classes_and_subclasses_come_back(results, planted):
    # as many as in studies of other invented people, counted and joined by SciPy: less would be
    # found in fewer than one of a thousand of these (one-sided t of their spread)
    rows = {row["term"]: row for row in table(results / "tiers/data_only.csv")}
    found = {tier: {term: row[tier] for term, row in rows.items()} for tier in TIERS}
    numbers = {tier: len(set(found[tier].values())) for tier in TIERS}
    simulated = list(sisters(numbers, planted))
    for tier in TIERS:
        others = [value for own, value in simulated if own == tier]
        spread = np.std(others, ddof=1) * np.sqrt(1 + 1 / SISTERS)
        least = np.mean(others) - t.ppf(0.999, SISTERS - 1) * spread
        assert 0.3 < least < found_again(found[tier], planted, tier)


def test_terms_that_were_planted_nowhere_are_put_to_the_committee(results, planted):
    rows = {row["term"]: row for row in table(results / "tiers/data_only.csv")}
    strays = rows.keys() - planted.keys()
    assert len(strays) == 2
    assert {rows[term]["status"] for term in strays} <= {"doubtful", "undecided"}
    asked = {row["subject"] for row in table(results / "tiers/questions.csv")}
    assert strays <= asked
    assert sum(rows[term]["status"] != "firm" for term in planted) < len(planted) / 20


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
    text = told(results)
    for words in (
        "Each participant was shown 60 of the 240 terms",
        "In the median 9 placed both terms of a pair",
        "the populations weigh the same",
        f"counts as one in which {counts_as:.1f} people placed every pair",
        "300 terms in 10 classes of 3 subclasses, 60 before each person",
        "Which row holds for this study nobody knows",
        "gave back classes where up to 30 % of the terms went astray",
    ):
        assert words in text
    assert "lies outside" not in text


def test_the_report_says_nothing_that_holds_for_whole_sorts_only(results):
    text = told(results)
    for words in (
        "terms; each participant was shown 60",
        "Each participant was shown some of the terms and sorted these once",
        "One sort per person, on a part of one list of terms",
        "Before the division add 1 to",
    ):
        assert words in text
    # shares have a prior, so that no pair is told as put together by nobody
    assert "of the pairs were put together by nobody" not in text
    assert "Each participant sorted the same" not in text
    drawn = (results / "figures/granularity.svg").read_text(encoding="utf-8")
    assert "Piles of an equal number of terms" in drawn
    assert "share of the pairs shown" in drawn


def test_one_distance_can_be_worked_out_by_hand_as_the_report_says(results):
    _, distances = read_square(results / "clustering/distances.csv")
    upper, shares = np.triu_indices(len(distances), 1), []
    for name in ("makers", "panel"):
        _, together = read_square(results / f"matrices/{name}.together.csv")
        _, both = read_square(results / f"matrices/{name}.both.csv")
        mean = together[upper].sum() / both[upper].sum()
        shares.append((together[0, 1] + mean) / (both[0, 1] + 1))
    assert distances[0, 1] == pytest.approx(1 - np.mean(shares), abs=1e-9)


def test_wheel_and_tables_are_made(results):
    for name in ("report/wheel.html", "report/tables.xlsx", "figures/wheel.pdf", "manifest.json"):
        assert (results / name).stat().st_size > 1000
