"""The whole road on the demo studies: the files of the interface, and the same bytes each time."""

import csv
import getpass
import hashlib
import json
import re
import socket
import subprocess
import zipfile

import numpy as np
import pytest
from felloe.clustering.tree_files import read_distances, read_tree
from felloe.ground.files.tables import read_square
from felloe.report.chart import read_chart
from felloe.report.sheet.drawing import draw_sheet
from felloe.report.sheet.paper import A3, A4
from felloe.report.sheet.shapes import Sheet
from felloe.report.typeface.shaping import typesetter
from felloe.tiers.decisions import PRICES, Decision, replay
from felloe.tiers.publishing import decision_rows
from felloe.tiers.rows import read_class_shares, read_data_chart, read_decisions
from felloe.tiers.tables import MOVES
from felloe.validation.tables import TABLES
from sheet_geometry import troubles
from workflow.conftest import ROOT, run_felloe

STUDIES = ["brine-2016", "brine-2026"]
GERMAN = "brine-2026/report/chart.de.json"
POPULATIONS = {"brine-2016": ["judges", "makers"], "brine-2026": ["panel", "makers"]}
COLUMNS = {
    "validation/findings.csv": "severity file line participant term message",
    "validation/participants.csv": "participant population n_piles n_single_piles "
    "largest_pile_share pairs_together_share n_unplaced order_following order_following_p "
    "agreement_with_others status reason",
    "validation/flow.csv": "population stage n",
    "comparison/terms.csv": "term difference p_maxT",
    "clustering/linkage.csv": "left right height size left_first right_first",
    "clustering/linkages.csv": "linkage cophenetic_correlation cophenetic_null_mean "
    "agglomerative_coefficient ari_class ari_subclass n_terms_changing_class",
    "clustering/support.csv": "node members height bootstrap_proportion jaccard",
    "clustering/ties.csv": "term class_depends_on_tie_break",
    "tiers/data_only.csv": "term class subclass class_name subclass_name home_probability "
    "rival_class rival_probability status",
    "tiers/published.csv": "term class subclass class_name subclass_name home_probability "
    "rival_class rival_probability status absorbed",
    "tiers/prices.csv": "term class subclass beside rank similarity home_probability_now "
    "home_probability cophenetic_change silhouette_class_change silhouette_subclass_change "
    "ring_change",
    "tiers/regroupings.csv": "kind class other classes terms n_terms cophenetic_change "
    "silhouette_class_change silhouette_subclass_change ring_change setting note",
    "circle/map.csv": "term x y",
    "circle/order.csv": "term class subclass start_deg end_deg gap_after_deg join_height_to_next",
    "circle/colours.csv": "term picked used delta_e_2000 n_picks reason",
}
FILES = [
    *COLUMNS,
    "matrices/pooled.together.csv",
    "matrices/pooled.both.csv",
    "comparison/populations.json",
    "clustering/tree.nwk",
    "clustering/consensus.csv",
    "clustering/consensus.nwk",
    "clustering/class_counts.csv",
    "clustering/ties.json",
    "tiers/undecided.csv",
    "tiers/decisions.csv",
    "circle/map.json",
    "circle/order.json",
    *(
        f"figures/{name}.{kind}"
        for name in "dendrogram matrix map shepard stability populations wheel".split()
        for kind in ("svg", "png")
    ),
    "figures/wheel.pdf",
    "figures/wheel_a4.pdf",
    "report/report.html",
    "report/wheel.html",
    "report/cards.html",
    "report/cards.pdf",
    "report/tables.xlsx",
    "report/vocabulary.ttl",
    "report/vocabulary.jsonld",
    "report/chart.json",
    "report/colours.gpl",
    "report/colour_table.csv",
    "manifest.json",
    "environment.json",
    "SHA256SUMS",
]
EDITION_FILES = (
    "comparison.json terms.csv links.csv crosswalk_suggested.csv crosswalk.ttl report.html "
    "members.html members.csv members.xlsx manifest.json"
).split()
EXEMPT = {"logs", "benchmarks", "ledger", "environment.json"}  # from sameness


def table(path):
    with open(path, encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def hashes(results):
    return {
        path.relative_to(results).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(results.rglob("*"))
        if path.is_file() and not EXEMPT & set(path.parts)
    }


@pytest.mark.parametrize("study", STUDIES)
@pytest.mark.parametrize("name", FILES)
def test_every_file_of_the_interface_is_there(demo, study, name):
    assert (demo / study / name).stat().st_size > 0


@pytest.mark.parametrize("study", STUDIES)
def test_each_population_is_counted(demo, study):
    for name in POPULATIONS[study]:
        for kind in ("together", "both"):
            terms, counts = read_square(demo / study / f"matrices/{name}.{kind}.csv")
            assert list(terms) == sorted(terms)
            assert (counts == counts.T).all()


@pytest.mark.parametrize("study", STUDIES)
def test_the_charts_distances_are_one_minus_together_over_both_of_the_files(demo, study):
    # both demo studies are charted with every population weighing the same
    shares = []
    for name in POPULATIONS[study]:
        terms, together = read_square(demo / study / f"matrices/{name}.together.csv")
        _, both = read_square(demo / study / f"matrices/{name}.both.csv")
        shares.append(together / both)
    charted, distances = read_square(demo / study / "clustering/distances.csv")
    assert charted == terms
    expected = np.round(1 - (shares[0] + shares[1]) / 2, 12)
    assert (distances == np.where(np.eye(len(terms)), 0.0, expected)).all()


@pytest.mark.parametrize("study", STUDIES)
def test_everybody_together_is_the_sum_of_the_populations(demo, study):
    for kind in ("together", "both"):
        folder = demo / study / "matrices"
        _, pooled = read_square(folder / f"pooled.{kind}.csv")
        parts = [read_square(folder / f"{name}.{kind}.csv")[1] for name in POPULATIONS[study]]
        assert (pooled == sum(parts)).all()


@pytest.mark.parametrize("name", EDITION_FILES)
def test_every_file_of_an_editions_comparison_is_there(demo, name):
    assert (demo / "editions" / "brine-2016--brine-2026" / name).stat().st_size > 0


@pytest.mark.parametrize("study", STUDIES)
@pytest.mark.parametrize("name", COLUMNS)
def test_tables_have_the_columns_of_the_interface(demo, study, name):
    with open(demo / study / name, encoding="utf-8", newline="") as stream:
        header = next(csv.reader(stream))
    assert set(COLUMNS[name].split()) <= set(header)


@pytest.mark.parametrize("study", STUDIES)
def test_a_price_is_what_the_same_decision_appended_last_would_cost(demo, study):
    folder = demo / study
    known = read_data_chart(folder / "tiers/evidence.csv", folder / "validation/terms.csv")
    shares = read_class_shares(folder / "clustering/class_shares.csv", known.tiers.classes)
    decided = read_decisions(folder / "validation/decisions.csv")
    apart = read_distances(folder / "clustering/distances.csv")
    tree = read_tree(folder / "clustering/linkage.csv")
    rows = MOVES.read(folder / "tiers/prices.csv")
    assert len({row["term"] for row in rows}) == len(tree.terms)
    for row in rows[::23]:
        last = Decision(row["term"], row["beside"], "why", "9999-12-31")
        found = replay(tree, known.tiers, apart, [*decided, last])
        (*_, plain) = decision_rows(found.replayed, shares)
        for name in (f"{price}_change" for price in PRICES):
            assert row[name] == plain[name], (row, name)
        assert row["home_probability_now"] == plain["home_probability_before"]
        assert row["home_probability"] == plain["home_probability_after"]


@pytest.mark.parametrize("study", STUDIES)
def test_classes_that_could_be_merged_are_the_neighbours_on_the_ring(demo, study):
    beside = {
        (row["class"], row["other_class"])
        for row in table(demo / study / "circle/adjacency.csv")
        if row["neighbours"] == "yes"
    }
    rows = [row for row in table(demo / study / "tiers/regroupings.csv") if row["kind"] == "merge"]
    assert {(row["class"], row["other"]) for row in rows} == beside


@pytest.mark.parametrize("study", STUDIES)
def test_nothing_tells_when_where_or_by_whom_it_was_made(demo, study):
    words = {str(demo.parent), str(ROOT), socket.gethostname(), f"/{getpass.getuser()}/"}
    words = {word.encode() for word in words if len(word) > 3}
    for path in sorted((demo / study).rglob("*")):
        if path.is_file() and not {"logs", "benchmarks"} & set(path.parts):
            content = path.read_bytes()
            assert not [word for word in words if word in content], path.name
            if path.suffix in {".csv", ".json", ".html", ".svg"}:
                assert not re.search(rb"\b\d{4}-\d\d-\d\dT\d\d:\d\d", content), path.name


def test_folder_cores_and_chunks_change_no_byte(demo, demo_again):
    first, second = hashes(demo), hashes(demo_again)
    assert sorted(first) == sorted(second)
    assert [name for name in first if first[name] != second[name]] == []


def test_a_rerun_with_nothing_changed_does_nothing(demo):
    before = hashes(demo)
    finished = run_felloe("--configfile", "quick.yaml", "--directory", ".", cwd=demo.parent)
    assert finished.returncode == 0
    assert "Nothing to do" in finished.stdout
    assert hashes(demo) == before


def test_another_linkage_reruns_nothing_before_clustering(demo):
    other = demo.parent / "other.yaml"
    other.write_text("clustering: {linkage: complete}\n", encoding="utf-8")
    typed = ["--configfile", "quick.yaml", "other.yaml", "--directory", ".", "-n"]
    finished = run_felloe(*typed, cwd=demo.parent)
    assert finished.returncode == 0, finished.stderr
    rerun = set(re.findall(r"\w+", finished.stdout))
    assert "cluster_terms" in rerun
    before = {
        "validate_sorts",
        "count_cooccurrence",
        "compare_populations",
        "draw_populations",
    }
    assert not rerun & before


def words_of(path):
    """Return the words of a file; those of a workbook are its parts', unpacked."""
    if path.suffix != ".xlsx":
        return set(re.findall(r"[\w-]+", path.read_text(encoding="utf-8")))
    with zipfile.ZipFile(path) as book:
        texts = [book.read(name).decode("utf-8") for name in book.namelist()]
    return {word for text in texts for word in re.findall(r"[\w-]+", text)}


@pytest.mark.parametrize("study", STUDIES)
def test_only_personal_files_name_a_participant_or_a_respondent(demo, study):
    people = {row["participant"] for row in table(demo / study / "validation/register.csv")}
    people |= {row["respondent"] for row in table(demo / study / "validation/colours.csv")}
    personal = {declared.path for declared in TABLES if declared.personal}
    kinds = {".csv", ".json", ".html", ".nwk", ".ttl", ".jsonld", ".xlsx"}
    naming = [
        path.relative_to(demo / study).as_posix()
        for path in sorted((demo / study).rglob("*"))
        if path.suffix in kinds and not {"logs", "benchmarks"} & set(path.parts)
        if words_of(path) & people
    ]
    assert set(naming) <= personal


@pytest.mark.parametrize("study", STUDIES)
def test_everybody_is_accounted_for(demo, study):
    flow = {
        (row["population"], row["stage"]): int(row["n"])
        for row in table(demo / study / "validation/flow.csv")
    }
    people = table(demo / study / "validation/participants.csv")
    for population in POPULATIONS[study]:
        of = [row for row in people if row["population"] == population]
        kept = [row for row in of if row["status"] == "kept"]
        assert (
            flow[population, "received"]
            >= flow[population, "valid"]
            >= flow[population, "analysed"]
        )
        assert flow[population, "analysed"] == len(kept)
        assert all(row["reason"] for row in of if row["status"] == "excluded")


@pytest.mark.parametrize("study", STUDIES)
def test_angles_and_gaps_fill_the_circle(demo, study):
    rows = table(demo / study / "circle/order.csv")
    widths = sum(float(row["end_deg"]) - float(row["start_deg"]) for row in rows)
    gaps = sum(float(row["gap_after_deg"]) for row in rows)
    assert abs(widths + gaps - 360.0) < 1e-9


@pytest.mark.parametrize("study", STUDIES)
def test_the_ring_shows_each_published_term_once_and_each_group_in_one_piece(demo, study):
    rows = table(demo / study / "circle/order.csv")
    published = table(demo / study / "tiers/published.csv")
    on_ring = {row["term"] for row in published if row["absorbed"] != "yes"}
    assert sorted(row["term"] for row in rows) == sorted(on_ring)
    for tier in ("class", "subclass"):
        groups = [row[tier] for row in rows]
        changes = sum(before != after for before, after in zip(groups, groups[1:] + groups[:1]))
        assert changes == len(set(groups))


@pytest.mark.parametrize("study", STUDIES)
def test_the_manifest_lists_what_is_there_with_its_hash(demo, study):
    manifest = json.loads((demo / study / "manifest.json").read_text(encoding="utf-8"))
    found = hashes(demo / study)
    for above in ("manifest.json", "SHA256SUMS"):
        found.pop(above)
    assert manifest["outputs"] == found
    assert {"study.yaml", "terms.csv", "participants.csv", "sorts.csv"} <= set(manifest["inputs"])


@pytest.mark.parametrize("name", ["report.html", "wheel.html"])
@pytest.mark.parametrize("study", STUDIES)
def test_pages_open_without_a_network(demo, study, name):
    text = (demo / study / "report" / name).read_text(encoding="utf-8")
    loads = re.findall(r"""(?:src|href)\s*=\s*["']([^"'#]+)""", text)
    assert [link for link in loads if link.startswith(("http:", "https:", "//"))] == []
    assert "@import" not in text


@pytest.mark.parametrize("folder", [*STUDIES, "editions/brine-2016--brine-2026"])
def test_the_sums_are_right_by_the_systems_own_tool(demo, folder):
    check = ["sha256sum", "--strict", "--quiet", "-c", "SHA256SUMS"]
    told = subprocess.run(check, cwd=demo / folder, capture_output=True, text=True)
    assert (told.returncode, told.stdout + told.stderr) == (0, "")


def test_the_manifest_names_the_older_edition_that_the_wheel_was_turned_to(demo):
    older = json.loads((demo / "brine-2026" / "manifest.json").read_text(encoding="utf-8"))
    (name,) = {path for paths in older["other_studies"].values() for path in paths}
    assert older["other_studies"]["brine-2016"][name] == hashes(demo / "brine-2016")[name]
    assert name == "circle/order.csv"


def test_the_manifests_graph_is_the_engines(demo):
    manifest = json.loads((demo / "brine-2016" / "manifest.json").read_text(encoding="utf-8"))
    graph = manifest["graph"]
    assert graph["validate_sorts"] == []
    assert graph["cluster_terms"] == ["compare_populations", "count_cooccurrence"]
    assert "draw_replicates" in graph["gather_replicates"]
    assert {step for group in manifest["versions"] for step in group["steps"]} == set(graph)


@pytest.mark.parametrize("form", [A3, A4], ids=lambda form: form.name)
@pytest.mark.parametrize("name", [*(f"{each}/report/chart.json" for each in STUDIES), GERMAN])
def test_every_word_of_the_wheel_has_its_room(demo, name, form):
    setter = typesetter()
    drawn = draw_sheet(read_chart(demo / name), form, setter, "", "", weak=0.5)
    assert isinstance(drawn, Sheet)
    assert list(troubles(drawn, setter)) == []
