"""The steps from sorts to tiers on small studies, called as functions."""

import json
from pathlib import Path

import draw_replicates
import numpy as np
import pytest
from felloe.clustering import tables
from felloe.clustering.leaf_order import leaf_order
from felloe.clustering.replicates.redraws import permute_terms
from felloe.clustering.steps import audit_ties, cluster_terms, gather_replicates
from felloe.clustering.tables import (
    CLASS_COUNTS,
    CLASS_SHARES,
    CONSENSUS,
    DELTA,
    DISTANCES,
    HOMES,
    LINKAGE,
    LINKAGES,
    SUPPORT,
    TIES,
)
from felloe.clustering.tree_files import read_distances, read_tree
from felloe.errors import StudyError
from felloe.ground.files.records import write_json
from felloe.ground.files.tables import read_square
from felloe.ground.groups.agreement import adjusted_rand
from felloe.ground.people.sorts import Sorts
from felloe.ground.terms import DifferentTerms
from felloe.matrices.counts import counts_by_population
from felloe.matrices.tables import write_counts
from felloe.provenance import SCRIPTS, files_of
from felloe.settings import read_yaml
from felloe.tiers.steps import extract_tiers
from felloe.validation.analysed import write_analysed
from newick_reader import leaves
from sorting_examples import patchy, planted_piles, populations_of
from tables_as_text import read_texts

TERMS = tuple(f"t{one:02d}" for one in range(30))
PILES, CLASSES = planted_piles(40, 5, 6, 0.2, seed=81)
TIERS = {
    "classes": "auto", "classes_range": [3, 8], "subclasses": "auto", "subclasses_range": [8, 14],
}  # fmt: skip
SETTINGS = {
    "minimum_class_size": 2, "minimum_subclass_size": 1, "minimum_support": 0.5,
    "weak_subclasses": "merge", "firm_probability": 0.75, "undecided_probability": 0.5,
    "branch_cuts": [],
}  # fmt: skip
LIMITS = {"class_size": 2, "subclass_size": 1, "support": 0.5}
KEYED = {"study": "small", "seed": 3}
PLAN = {"replicates": 200, "null_sets": 10, "null_replicates": 60}
OUTPUTS = {
    "support": "support.csv", "tree": "tree.nwk", "consensus": "consensus.csv",
    "consensus_tree": "consensus.nwk", "class_counts": "class_counts.csv",
    "class_support": "classes.csv", "homes": "homes.csv", "class_shares": "class_shares.csv",
    "linkages": "linkages.csv",
    "summary": "bootstrap.json",
}  # fmt: skip


def write_study(folder, piles, chart):
    """Write what the steps before clustering leave."""
    names = tuple(f"p{one:02d}" for one in range(len(piles)))
    sorts = Sorts(names, tuple(populations_of(len(piles))), TERMS, piles)
    write_analysed(folder / "analysed.csv", sorts)
    write_json(folder / "chart.json", chart)
    counts = counts_by_population(sorts)
    for name, found in counts.items():
        write_counts(found, folder / f"{name}.together.csv", folder / f"{name}.both.csv")
    return {
        "populations": list(counts),
        **{
            kind: [folder / f"{name}.{kind}.csv" for name in counts]
            for kind in ("together", "both")
        },
    }


def run(folder, piles, parts=2, method="average", settings=(), tiers=(), multiscale=0, **chart):
    """Run all steps of the tree and return the folder of their results."""
    folder.mkdir()
    counted = write_study(folder, piles, {"source": "pooled", "weights": "plain", **chart})
    common = {**KEYED, "method": method}
    upstream = {"sorts": folder / "analysed.csv", "chart": folder / "chart.json"}
    at = {"distances": folder / "distances.csv", "linkage": folder / "linkage.csv"}
    cluster_terms.main(
        **counted,
        **KEYED,
        chart=upstream["chart"],
        method=method,
        **at,
        delta=folder / "delta.csv",
    )
    pieces = []
    for part in range(1, parts + 1):
        pieces.append(folder / f"{part}.npz")
        draw_replicates.main(
            **upstream, **common, part_name=f"{part}-of-{parts}", part=pieces[-1],
            plan={**PLAN, "multiscale": multiscale},
        )  # fmt: skip
    written = {name: folder / file for name, file in OUTPUTS.items()}
    gather_replicates.main(
        **upstream, **common, **at, **written, limits=LIMITS, numbers={**TIERS, **dict(tiers)},
        parts=pieces, gap_sets=20, rogues={"below": 0.6, "most": 0.1},
    )  # fmt: skip
    summary = written["summary"]
    ties = {"ties": folder / "ties.csv", "audit": folder / "ties.json"}
    audit_ties.main(**common, orders=30, distances=at["distances"], summary=summary, **ties)
    extract_tiers.main(
        **counted, **at, support=written["support"], homes=written["homes"],
        class_support=written["class_support"], summary=summary, ties=ties["ties"],
        delta=folder / "delta.csv", study="small", settings={**SETTINGS, **dict(settings)},
        evidence=folder / "evidence.csv", choice=folder / "choice.json",
        undecided=folder / "undecided.csv",
    )  # fmt: skip
    return folder


def column(folder, table, name):
    return [row[name] for row in read_texts(folder / table)]


def record(folder, name):
    return json.loads((folder / name).read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def planted(tmp_path_factory):
    return run(tmp_path_factory.mktemp("planted") / "study", PILES)


@pytest.fixture(scope="module", params=range(3))
def without_structure(tmp_path_factory, request):
    piles = permute_terms(PILES, np.random.default_rng(500 + request.param))
    return run(tmp_path_factory.mktemp("permuted") / "study", piles)


def test_planted_classes_are_found(planted):
    assert record(planted, "bootstrap.json")["classes"]["number"] == 5
    found = np.array(column(planted, "evidence.csv", "class"))
    assert adjusted_rand(found, CLASSES) == 1.0
    assert set(column(planted, "classes.csv", "holds")) == {"yes"}


def test_nothing_is_reported_as_supported_where_terms_are_permuted(without_structure):
    assert set(column(without_structure, "classes.csv", "holds")) == {"no"}
    assert set(column(without_structure, "support.csv", "supported")) == {"no"}
    assert set(column(without_structure, "class_counts.csv", "supported")) == {"no"}
    assert "firm" not in column(without_structure, "evidence.csv", "status")
    assert set(column(without_structure, "evidence.csv", "class_status")) == {"independent"}


@pytest.mark.parametrize("parts", [1, 3])
def test_results_do_not_depend_on_the_number_of_parts(planted, tmp_path, parts):
    other = run(tmp_path / "study", PILES, parts=parts)
    for name in [*OUTPUTS.values(), "evidence.csv", "choice.json", "undecided.csv", "ties.json"]:
        assert (planted / name).read_bytes() == (other / name).read_bytes(), name


def test_ids_of_groups_are_their_first_terms(planted):
    for tier in ("class", "subclass"):
        rows = read_texts(planted / "evidence.csv")
        for row in rows:
            inside = [one["term"] for one in rows if one[tier] == row[tier]]
            assert row[tier] == min(inside)


def test_every_subclass_lies_in_one_class(planted):
    homes = {}
    for row in read_texts(planted / "evidence.csv"):
        assert homes.setdefault(row["subclass"], row["class"]) == row["class"]


def test_nodes_of_the_table_are_rows_of_the_linkage(planted):
    heights = column(planted, "linkage.csv", "height")
    sizes = column(planted, "linkage.csv", "size")
    for row in read_texts(planted / "support.csv"):
        node = int(row["node"])
        assert row["height"] == heights[node]
        assert len(row["members"].split(";")) == int(sizes[node])


def test_jaccard_is_never_below_the_bootstrap_proportion(planted):
    for row in read_texts(planted / "support.csv"):
        assert float(row["jaccard"]) >= float(row["bootstrap_proportion"]) - 1e-12


def test_trees_hold_every_term_once(planted):
    for name in ("tree.nwk", "consensus.nwk"):
        assert sorted(leaves((planted / name).read_text(encoding="utf-8"))) == list(TERMS)


def test_the_consensus_is_one_on_its_diagonal(planted):
    terms, shares = read_square(planted / "consensus.csv")
    assert terms == TERMS
    assert (np.diag(shares) == 1.0).all()
    assert np.array_equal(shares, shares.T)


def test_the_chosen_linkage_agrees_with_itself(planted):
    rows = {row["linkage"]: row for row in read_texts(planted / "linkages.csv")}
    assert list(rows) == ["average", "complete", "single", "weighted", "ward"]
    own = rows["average"]
    assert (own["ari_class"], own["ari_subclass"], own["chosen"]) == ("1.0", "1.0", "yes")
    assert own["n_terms_changing_class"] == "0"
    assert float(own["cophenetic_correlation"]) > float(own["cophenetic_null_mean"]) + 0.3


@pytest.mark.parametrize("method", ["complete", "ward"])
def test_other_linkages_run_through(tmp_path, method):
    folder = run(tmp_path / "study", PILES, method=method)
    assert record(folder, "bootstrap.json")["classes"]["number"] == 5
    assert (record(folder, "choice.json")["chance_line"] is None) == (method == "ward")


@pytest.mark.parametrize("chart", [{"weights": "equal"}, {"source": "makers"}])
def test_other_charts_and_incomplete_sorts_run_through(tmp_path, chart):
    folder = run(tmp_path / "study", patchy(PILES, 0.05, seed=82), **chart)
    assert adjusted_rand(np.array(column(folder, "evidence.csv", "class")), CLASSES) > 0.8


def test_fixed_numbers_are_kept(tmp_path):
    folder = run(tmp_path / "study", PILES, tiers={"classes": 4, "subclasses": 15}.items())
    chosen = record(folder, "bootstrap.json")
    assert chosen["classes"] == {
        "number": 4, "fixed": True, "range": [3, 8], "possible": [3, 8],
    }  # fmt: skip
    assert len(set(column(folder, "evidence.csv", "class"))) == 4
    rows = read_texts(folder / "class_counts.csv")
    assert [row["n_classes"] for row in rows if row["chosen"] == "yes"] == ["4", "15"]


def test_impossible_numbers_are_the_owners_to_mend(tmp_path):
    with pytest.raises(StudyError, match="31 classes asked for, 2 to 30 are possible"):
        run(tmp_path / "study", PILES, tiers={"classes": 31}.items())


def test_a_cut_by_hand_is_applied_and_recorded(tmp_path):
    cut = {"term": "t00", "subclasses": 3, "reason": "the trade tells them apart"}
    folder = run(tmp_path / "study", PILES, settings={"branch_cuts": [cut]}.items())
    rows = read_texts(folder / "evidence.csv")
    home = next(row["class"] for row in rows if row["term"] == "t00")
    assert len({row["subclass"] for row in rows if row["class"] == home}) == 3
    (noted,) = record(folder, "choice.json")["branch_cuts"]
    assert noted == {**cut, "applied": True}


def test_a_cut_for_an_unknown_term_names_the_nearest(tmp_path):
    cut = {"term": "t0", "study": "small", "subclasses": 2, "reason": "x"}
    with pytest.raises(StudyError, match="'t0' is no term of small"):
        run(tmp_path / "study", PILES, settings={"branch_cuts": [cut]}.items())


def test_a_cut_into_too_many_subclasses_is_the_owners_to_mend(tmp_path):
    cut = {"term": "t00", "subclasses": 20, "reason": "x"}
    with pytest.raises(StudyError, match="branch_cuts: a class of 6 terms"):
        run(tmp_path / "study", PILES, settings={"branch_cuts": [cut]}.items())


def test_the_multiscale_bootstrap_fills_its_column(planted, tmp_path):
    assert set(column(planted, "support.csv", "au")) == {""}
    folder = run(tmp_path / "study", PILES, multiscale=100)
    values = [float(text) for text in column(folder, "support.csv", "au")]
    assert all(0.0 <= value <= 1.0 for value in values)
    assert column(folder, "support.csv", "jaccard") == column(planted, "support.csv", "jaccard")


def test_an_undecided_term_is_laid_before_the_committee(tmp_path):
    piles = PILES.copy()
    panel = populations_of(40) == "panel"
    away = panel.copy()
    away[np.flatnonzero(~panel)[:6]] = True  # the panel and some makers, 20 of 40 in all
    piles[away, 0] = piles[away, 7]  # with a term of the second class
    piles[~away, 0] = piles[~away, 1]  # with a term of the first
    folder = run(tmp_path / "study", piles, tiers={"classes": 5}.items())
    rows = {row["term"]: row for row in read_texts(folder / "evidence.csv")}
    assert float(rows["t00"]["home_probability"]) < 0.75
    assert rows["t00"]["status"] != "firm"
    asked = read_texts(folder / "undecided.csv")
    assert [row["term"] for row in asked] == [
        term for term, row in rows.items() if row["status"] == "undecided"
    ]
    settings = {"undecided_probability": 0.74}.items()
    stricter = run(tmp_path / "stricter", piles, tiers={"classes": 5}.items(), settings=settings)
    (row,) = [row for row in read_texts(stricter / "undecided.csv") if row["term"] == "t00"]
    assert row["populations"] == "makers:home;panel:rival"
    assert float(row["rival:panel"]) > float(row["home:panel"])
    assert row["populations_agree"] == "no"
    assert row["nearest_terms"].count(";") == 2


SCHEMAS = Path(__file__).parents[3] / "workflow" / "schemas" / "records"
FILES = {
    "distances.csv": DISTANCES, "linkage.csv": LINKAGE, "linkages.csv": LINKAGES,
    "delta.csv": DELTA, "support.csv": SUPPORT, "consensus.csv": CONSENSUS,
    "class_counts.csv": CLASS_COUNTS, "ties.csv": TIES, "classes.csv": tables.CLASSES,
    "homes.csv": HOMES,
    "class_shares.csv": CLASS_SHARES,
}  # fmt: skip


@pytest.mark.parametrize(("name", "table"), FILES.items(), ids=FILES)
def test_what_is_read_by_the_declaration_is_written_again_with_the_same_bytes(
    planted, tmp_path, name, table
):
    terms = TERMS if table.others else ()
    table.write(tmp_path / name, table.read(planted / name), terms)
    assert (tmp_path / name).read_bytes() == (planted / name).read_bytes()


@pytest.mark.parametrize("name", ["bootstrap", "ties"])
@pytest.mark.parametrize("method", ["average", "ward"])
def test_a_record_is_as_its_schema_says(planted, tmp_path, name, method):
    from jsonschema import Draft202012Validator

    folder = planted if method == "average" else run(tmp_path / "study", PILES, method=method)
    schema = read_yaml(SCHEMAS / f"clustering.{name}.schema.yaml")
    assert set(schema["required"]) == set(schema["properties"])
    Draft202012Validator(schema).validate(record(folder, f"{name}.json"))


@pytest.mark.parametrize(
    "chart",
    [
        {"source": "pooled", "weights": "plain"},
        {"source": "pooled", "weights": "equal"},
        {"source": "panel", "weights": "plain"},
    ],
)
def test_the_distances_follow_from_the_published_counts_alone(tmp_path, chart):
    counted = write_study(tmp_path, PILES, chart)
    (tmp_path / "analysed.csv").unlink()
    at = {name: tmp_path / f"{name}.csv" for name in ("distances", "linkage", "delta")}
    cluster_terms.main(**counted, **KEYED, chart=tmp_path / "chart.json", method="average", **at)
    piles, populations = PILES, populations_of(len(PILES))
    if chart["source"] != "pooled":
        piles = piles[populations == chart["source"]]
        populations = populations[populations == chart["source"]]
    groups = np.unique(populations) if chart["weights"] == "equal" else [None]
    shares = []
    for group in groups:
        own = piles if group is None else piles[populations == group]
        shares.append((own[:, :, None] == own[:, None, :]).sum(axis=0) / len(own))
    expected = np.round(1.0 - sum(shares) / len(shares), 12)
    assert np.array_equal(read_distances(at["distances"]).D, expected)
    assert read_tree(at["linkage"]).terms == TERMS


def test_a_population_counted_on_other_terms_is_refused(tmp_path):
    counted = write_study(tmp_path, PILES, {"source": "pooled", "weights": "equal"})
    text = (tmp_path / "panel.both.csv").read_text().replace("t07", "t7")
    (tmp_path / "panel.both.csv").write_text(text)
    at = {name: tmp_path / f"{name}.csv" for name in ("distances", "linkage", "delta")}
    with pytest.raises(DifferentTerms, match=r"only panel\.both\.csv has 't7'"):
        cluster_terms.main(
            **counted, **KEYED, chart=tmp_path / "chart.json", method="average", **at
        )


def test_a_tree_and_distances_of_other_terms_are_not_combined(planted, tmp_path):
    text = (planted / "linkage.csv").read_text().replace("t29", "t2x")
    (tmp_path / "linkage.csv").write_text(text)
    tree, apart = read_tree(tmp_path / "linkage.csv"), read_distances(planted / "distances.csv")
    with pytest.raises(DifferentTerms, match="only the tree has 't2x'"):
        leaf_order(tree, apart)


@pytest.mark.parametrize(
    "step",
    ["cluster_terms", "draw_replicates", "gather_replicates", "publish_tiers"],
)
def test_a_changed_sentence_reruns_no_step_that_computes(step):
    files = {path.relative_to(SCRIPTS).as_posix() for path in files_of(step)}
    assert not files & {f"felloe/clustering/{name}.py" for name in ("words", "figure_words")}


@pytest.mark.parametrize("stage", ["clustering", "sensitivity"])
def test_a_changed_sentence_reruns_the_figures_or_the_report_that_print_it(stage):
    of_page, of_figures = (
        SCRIPTS / f"felloe/{stage}/{name}.py" for name in ("words", "figure_words")
    )
    assert of_figures in files_of("draw_evidence")
    assert of_figures not in files_of("write_report")
    assert of_page in files_of("write_report")
    assert of_page not in files_of("draw_evidence")


def test_a_step_that_reads_the_tree_does_not_consist_of_what_measures_its_support():
    files = {path.relative_to(SCRIPTS).as_posix() for path in files_of("cluster_terms")}
    assert not files & {f"felloe/clustering/{name}.py" for name in ("support", "linkages", "ties")}
