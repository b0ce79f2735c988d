"""The women's kinship sorts carried from tiers to the ring by the steps themselves."""

import csv
from pathlib import Path

import numpy as np
from felloe.clustering.tables import write_tree
from felloe.ground.counts import count_cooccurrence
from felloe.ground.distances import dissimilarity
from felloe.ground.linkage import build_tree, cut, members
from felloe.ground.records import write_json
from felloe.ground.sorts import Sorts
from felloe.ground.tables import read_table, write_square, write_table
from felloe.ground.tree import Tree
from felloe.settings import DEFAULTS, read_yaml
from felloe.tiers.cuts import first_terms
from felloe.validation.tables import write_analysed
from order_circle import main as order_circle
from publish_tiers import main as publish_tiers
from scale_terms import main as scale_terms

WOMEN = Path(__file__).parent / "references/data/kinship_women_single_sorts_long.csv"
NAMES = [
    {"tier": "class", "anchor": "aunt", "name": "Beside", "absorbs": "no"},
    {"tier": "subclass", "anchor": "cousin", "name": "Cousins", "absorbs": "no"},
    {"tier": "class", "anchor": "mother", "name": "At home", "absorbs": "yes"},
]
DECISION = {
    "term": "grandson",
    "beside": "cousin",
    "reason": "an invented reason",
    "decided_on": "2026-01-01",
    "decided_by": "",
}


def women():
    """Rosenberg & Kim's 85 women (SOURCES.md), as sorts."""
    with open(WOMEN, encoding="utf-8") as stream:
        rows = list(csv.DictReader(stream))
    people, terms = sorted({r["participant"] for r in rows}), sorted({r["term"] for r in rows})
    piles = np.zeros((len(people), len(terms)), dtype=np.int16)
    for row in rows:
        piles[people.index(row["participant"]), terms.index(row["term"])] = int(row["pile"])
    populations = tuple("a" if i % 2 else "b" for i in range(len(people)))
    return Sorts(tuple(people), populations, tuple(terms), piles)


def write_upstream(folder, names=(), decisions=()):
    """Write what the steps before these write."""
    sorts = women()
    D = dissimilarity(*count_cooccurrence(sorts.piles))
    Z = build_tree(D, "average")
    classes, subclasses = (first_terms(cut(Z, k), sorts.terms) for k in (3, 6))
    write_analysed(folder / "analysed.csv", sorts)
    write_square(folder / "distances.csv", sorts.terms, D)
    write_tree(folder / "linkage.csv", Tree(sorts.terms, Z))
    write_json(folder / "chart_source.json", {"source": "pooled", "weights": "plain"})
    columns = ["term", "label", "width", "renamed_from"]
    labels = [[term, term.title(), "2" if term == "aunt" else "", ""] for term in sorts.terms]
    write_table(folder / "terms.csv", columns, labels)
    write_table(folder / "names.csv", ["tier", "anchor", "name", "absorbs"], names)
    write_table(folder / "decided.csv", list(DECISION), decisions)
    columns = ["term", "class", "subclass", "home_probability", "rival_class",
               "rival_probability", "status"]  # fmt: skip
    rows = zip(sorts.terms, classes, subclasses)
    write_table(folder / "evidence.csv", columns, [[*row, 0.9, "", "", "firm"] for row in rows])
    groups = [";".join(np.array(sorts.terms)[row]) for row in members(Z)]
    write_table(folder / "support.csv", ["members", "jaccard"], [[g, 0.8] for g in groups])


def publish(folder, freedom="tree"):
    publish_tiers(
        **{
            name: folder / f"{name}.csv"
            for name in ("evidence", "terms", "names", "distances", "linkage", "support")
        },
        decisions=folder / "decided.csv",
        sorts=folder / "analysed.csv",
        chart=folder / "chart_source.json",
        study="kinship",
        seed=1,
        method="average",
        order_freedom=freedom,
        replicates=100,
        unfit_names="refuse",
        data_only=folder / "data_only.csv",
        published=folder / "published.csv",
        decided=folder / "decisions.csv",
        groups=folder / "groups.csv",
        tree=folder / "published_linkage.csv",
    )


def scale(folder):
    fewer = {"null_replicates": 5, "bootstrap": 20, "most_dimensions": 3, "starts": 50}
    scale_terms(
        distances=folder / "distances.csv",
        sorts=folder / "analysed.csv",
        chart=folder / "chart_source.json",
        study="kinship",
        seed=1,
        settings=read_yaml(DEFAULTS)["map"] | fewer,
        map=folder / "map.csv",
        record=folder / "map.json",
        shepard=folder / "shepard.csv",
        dimensions=folder / "dimensions.csv",
    )


def order(folder, older=(), **changed):
    fewer = {"adjacency_replicates": 20, "random_drawings": 20, "free_tour_starts": 5}
    order_circle(
        published=folder / "published.csv",
        data_only=folder / "data_only.csv",
        tree=folder / "published_linkage.csv",
        linkage=folder / "linkage.csv",
        distances=folder / "distances.csv",
        terms=folder / "terms.csv",
        sorts=folder / "analysed.csv",
        chart=folder / "chart_source.json",
        map=folder / "map.csv",
        map_record=folder / "map.json",
        older=older,
        older_study="older" if older else None,
        study="kinship",
        seed=1,
        method="average",
        settings=read_yaml(DEFAULTS)["circle"] | fewer | changed,
        order=folder / "order.csv",
        order_data_only=folder / "order_data_only.csv",
        record=folder / "order.json",
        classes=folder / "adjacency.csv",
    )


def by_term(path):
    return {row["term"]: row for row in read_table(path)}


def copied(study, folder):
    for path in study.iterdir():
        if path.is_file():
            (folder / path.name).write_bytes(path.read_bytes())
