"""
A published study through the whole pipeline: 85 people, 15 kinship terms.

Sorts: Rosenberg (1982), experiment of Rosenberg & Kim (1975). Values: general reference software,
`tests/references/values/`, kind `exact`; `tests/references/SOURCES.md` says which and how.
"""

import csv
import json

import numpy as np
import pytest
from felloe.ground.files.tables import read_square
from felloe.report.chart import read_chart
from felloe.report.sheet.drawing import draw_sheet
from felloe.report.sheet.paper import A3, A4
from felloe.report.sheet.shapes import Sheet
from felloe.report.typeface.shaping import typesetter
from sheet_geometry import troubles
from workflow.conftest import QUICK, run_felloe

LINKAGES = ["average", "complete", "single"]  # the reference has Ward on D, not on its root
EXACT = 1e-9


@pytest.fixture(scope="module")
def kinship(tmp_path_factory, reference):
    """Results of the kinship sorts with three classes, average linkage."""
    folder = tmp_path_factory.mktemp("published study")
    study = folder / "kinship"
    study.mkdir()
    rows = reference.rows("data/kinship_women_single_sorts_long.csv")
    (study / "study.yaml").write_text(
        "title: Kinship terms\nedition: 1975\ninstruction: Sort by similarity of meaning.\n"
        "populations: {women: Women who sorted once}\n",
        encoding="utf-8",
    )
    terms = sorted({row["term"] for row in rows})
    people = sorted({row["participant"].lower() for row in rows})
    write(study / "terms.csv", ["term", "label"], [[term, term] for term in terms])
    write(study / "participants.csv", ["participant", "population"], [[p, "women"] for p in people])
    sorts = [[row["participant"].lower(), row["term"], row["pile"]] for row in rows]
    write(study / "sorts.csv", ["participant", "term", "pile"], sorts)
    settings = QUICK % 2 + "studies: {kinship: kinship}\ntiers: {classes: 3, subclasses: 6}\n"
    (folder / "mine.yaml").write_text(settings, encoding="utf-8")
    finished = run_felloe("--configfile", "mine.yaml", "--directory", ".", cwd=folder)
    assert finished.returncode == 0, finished.stdout[-2000:] + finished.stderr[-4000:]
    return folder / "results" / "kinship"


def write(path, header, rows):
    with open(path, "w", encoding="utf-8", newline="") as stream:
        csv.writer(stream).writerows([header, *rows])


def table(path):
    with open(path, encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def merges(linkage, terms):
    """Return (height, members) of every merge of a linkage table."""
    members = [frozenset([term]) for term in terms]
    found = []
    for row in linkage:
        members.append(members[int(float(row["left"]))] | members[int(float(row["right"]))])
        found.append((float(row["height"]), members[-1]))
    return found


def in_order(found):
    """Return merges in an order that equal heights do not disturb."""
    return sorted(found, key=lambda merge: (round(merge[0], 9), sorted(merge[1])))


def test_everybody_is_kept(kinship):
    flow = {
        row["stage"]: int(row["n"])
        for row in table(kinship / "validation/flow.csv")
        if row["population"] == "women"
    }
    assert flow == {"received": 85, "valid": 85, "analysed": 85}


def test_the_counts_are_the_published_ones(kinship, reference):
    terms, together = read_square(kinship / "matrices/women.together.csv")
    published = reference.square("values/kinship_women_single_same_pile_counts.csv", terms)
    assert (together == published).all()
    assert (read_square(kinship / "matrices/pooled.together.csv")[1] == published).all()
    assert (read_square(kinship / "matrices/women.both.csv")[1] == 85).all()


@pytest.mark.parametrize("linkage", LINKAGES)
def test_every_linkage_merges_as_in_general_software(kinship, reference, linkage):
    folder = kinship.parents[1]
    target = "results/kinship/clustering/linkage.csv"
    (folder / "linkage.yaml").write_text(
        f"clustering: {{linkage: {linkage}}}\nstudies: {{kinship: ../kinship}}\n", encoding="utf-8"
    )
    out = folder / f"with {linkage}"
    out.mkdir()
    typed = [target, "--configfile", "linkage.yaml", "--directory", str(out)]
    finished = run_felloe(*typed, cwd=folder)
    assert finished.returncode == 0, finished.stderr
    terms = read_square(kinship / "matrices/women.together.csv")[0]
    ours = merges(table(out / target), terms)
    published = [
        (float(row["height"]), frozenset(row["members"].split()))
        for row in reference.rows("values/hclust_merges.csv")
        if (row["dataset"], row["method"]) == ("kin_women_single", linkage)
    ]
    assert len(published) == len(terms) - 1
    for mine, theirs in zip(in_order(ours), in_order(published), strict=True):
        assert mine[1] == theirs[1]
        assert mine[0] == pytest.approx(theirs[0], abs=EXACT)


@pytest.mark.parametrize("linkage", LINKAGES)
def test_cophenetic_correlations_are_those_of_general_software(kinship, reference, linkage):
    rows = {row["linkage"]: row for row in table(kinship / "clustering/linkages.csv")}
    value = reference.value("kin_women_single", f"cophenetic_correlation_{linkage}")
    assert float(rows[linkage]["cophenetic_correlation"]) == pytest.approx(value, abs=EXACT)


def test_the_three_classes_are_the_published_consensus(kinship, reference):
    # Gordon & Vichi (2001), Psychometrika 66:229-248, Table 6; each model's hard classes
    published = {}
    for row in reference.rows("data/kinship_gordon_vichi_consensus.csv"):
        shares = [float(row[f"class_{k}"]) for k in (1, 2, 3)]
        published.setdefault(row["model"], {}).setdefault(int(np.argmax(shares)), set()).add(
            row["term"]
        )
    ours = {}
    for row in table(kinship / "tiers/data_only.csv"):
        ours.setdefault(row["class"], set()).add(row["term"])
    for classes in published.values():
        assert sorted(map(sorted, classes.values())) == sorted(map(sorted, ours.values()))


def test_one_population_is_said_to_be_one(kinship):
    chart = json.loads((kinship / "comparison/chart.json").read_text(encoding="utf-8"))
    whose = {"source": "pooled", "weights": "plain", "chosen_by": "only"}
    assert chart == {
        **whose, "provisional": False, "preview": False, "override": None, "override_reason": None
    }  # fmt: skip
    report = (kinship / "report/report.html").read_text(encoding="utf-8")
    assert "All participants belong to one population" in report


def test_the_report_does_not_compare_what_was_not_compared(kinship):
    text = (kinship / "report/report.html").read_text(encoding="utf-8")
    # the glossary explains the words; what may not stand there is a result
    assert "positively associated" not in text
    assert 'title="comparison/populations.json: mantel' not in text
    assert 'title="comparison/populations.json: label_permutation' not in text


@pytest.mark.parametrize("form", [A3, A4], ids=lambda form: form.name)
def test_every_word_of_the_wheel_has_its_room(kinship, form):
    setter = typesetter()
    drawn = draw_sheet(read_chart(kinship / "report/chart.json"), form, setter, "", "", weak=0.5)
    assert isinstance(drawn, Sheet)
    assert list(troubles(drawn, setter)) == []
