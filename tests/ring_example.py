"""The women's kinship sorts carried from tiers to the ring by the steps themselves."""

import csv
from pathlib import Path

import numpy as np
from felloe.circle.steps.judge_map import main as judge_map
from felloe.circle.steps.redraw_maps import main as redraw_maps
from felloe.circle.steps.redraw_rings import main as redraw_rings
from felloe.circle.steps.scale_terms import main as scale_terms
from felloe.clustering.replicates.summary import convention
from felloe.clustering.tables import CLASS_SHARES, SUPPORT
from felloe.clustering.tree_files import write_tree
from felloe.ground.distances import Distances, rounded_dissimilarity
from felloe.ground.files.records import write_json
from felloe.ground.files.tables import write_square
from felloe.ground.groups.linkage import build_tree
from felloe.ground.groups.tree import Tree
from felloe.ground.people.counts import counts_of
from felloe.ground.people.sorts import Sorts
from felloe.settings import DEFAULTS, read_yaml
from felloe.tiers.cuts import nested_cut
from felloe.tiers.steps.publish_tiers import main as publish_tiers
from felloe.tiers.tables import EVIDENCE
from felloe.validation.analysed import write_analysed
from felloe.validation.tables import DECISIONS, NAMES, SECTORS, TERMS
from order_circle import main as order_circle

WOMEN = Path(__file__).parent / "references/data/kinship_women_single_sorts_long.csv"
GIVEN = [
    {"tier": "class", "anchor": "aunt", "name": "Beside", "absorbs": False},
    {"tier": "subclass", "anchor": "cousin", "name": "Cousins", "absorbs": False},
    {"tier": "class", "anchor": "mother", "name": "At home", "absorbs": True},
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


def charted():
    """The tree and the tiers of the women's sorts."""
    counts = counts_of(women())
    apart = Distances(counts.terms, rounded_dissimilarity(counts.similarity()))
    tree = Tree(apart.terms, build_tree(apart.D, "average"))
    return apart, tree, nested_cut(tree, 3, 6)


def write_upstream(folder, names=(), decisions=()):
    """Write what the steps before these write."""
    sorts = women()
    apart, tree, tiers = charted()
    write_analysed(folder / "analysed.csv", sorts)
    write_square(folder / "distances.csv", apart.terms, apart.D)
    write_tree(folder / "linkage.csv", tree)
    write_json(folder / "chart_source.json", {"source": "pooled", "weights": "plain"})
    empty = {"definition": "", "reference": "", "caution": "", "renamed_from": ""}
    words = [
        {**empty, "term": term, "label": term.title(), "width": 2 if term == "aunt" else None}
        for term in sorts.terms
    ]
    TERMS.write(folder / "terms.csv", words)
    sectors = ({name: row[name] for name in ("term", "width", "renamed_from")} for row in words)
    SECTORS.write(folder / "sectors.csv", sectors)
    by_hand = {"reason": "", "decided_on": "", "decided_by": "", "from_ballot": False}
    NAMES.write(folder / "names.csv", [{**by_hand, **row} for row in names])
    DECISIONS.write(folder / "decided.csv", [{"from_ballot": False, **row} for row in decisions])
    rows = zip(sorts.terms, tiers.classes.of_terms, tiers.subclasses.of_terms)
    write_evidence(folder, [dict(zip(("term", "class", "subclass"), row)) for row in rows])
    SUPPORT.write(folder / "support.csv", support_rows(tree))
    write_class_shares(folder, tiers.classes)


def write_class_shares(folder, classes):
    """Every term falls into its own class in nine tenths of the redraws, else into the others."""
    elsewhere = 0.1 / (classes.n_groups - 1)
    CLASS_SHARES.write(
        folder / "class_shares.csv",
        [
            (term, other, 0.9 if other == own else elsewhere)
            for term, own in zip(classes.terms, classes.of_terms)
            for other in classes.ids
        ],
    )


def write_evidence(folder, rows):
    """Write where the data put each term: with certainty of nine tenths, and no rival."""
    known = {"home_probability": 0.9, "rival_class": "", "status": "firm", "reason": ""}
    known |= {"class_status": "kept", "rogue": False, "tie_share": 0.0}
    unknown = dict.fromkeys(EVIDENCE.names)
    EVIDENCE.write(folder / "evidence.csv", ({**unknown, **known, **row} for row in rows))


def support_rows(tree):
    """A row for each node, found again as well as the next."""
    known = {"jaccard": 0.8, "supported": True, "convention": convention(0.8)}
    for node, inside in enumerate(tree.members()):
        members = tuple(np.array(tree.terms)[inside].tolist())
        own = {"node": node, "members": members, "height": tree.Z[node, 2]}
        yield {**dict.fromkeys(SUPPORT.names), **known, **own}


def publish(folder, freedom="tree"):
    publish_tiers(
        **{
            name: folder / f"{name}.csv"
            for name in ("evidence", "terms", "names", "distances", "linkage", "support")
        },
        decisions=folder / "decided.csv",
        class_shares=folder / "class_shares.csv",
        method="average",
        order_freedom=freedom,
        unfit_names="refuse",
        data_only=folder / "data_only.csv",
        published=folder / "published.csv",
        places=folder / "places.csv",
        decided=folder / "decisions.csv",
        groups=folder / "groups.csv",
        tree=folder / "published_linkage.csv",
    )


def scale(folder):
    fewer = {"null_replicates": 5, "bootstrap": 20, "most_dimensions": 3, "starts": 50}
    scale_terms(
        distances=folder / "distances.csv",
        study="kinship",
        seed=1,
        settings=read_yaml(DEFAULTS)["map"] | fewer,
        points=folder / "points.csv",
        record=folder / "scaling.json",
        shepard=folder / "shepard.csv",
        dimensions=folder / "dimensions.csv",
    )
    redraw_maps(
        points=folder / "points.csv",
        scaling=folder / "scaling.json",
        sorts=folder / "analysed.csv",
        chart=folder / "chart_source.json",
        study="kinship",
        seed=1,
        settings=read_yaml(DEFAULTS)["map"] | fewer,
        ellipses=folder / "ellipses.csv",
        null=folder / "null_stress.csv",
    )
    judge_map(
        points=folder / "points.csv",
        scaling=folder / "scaling.json",
        ellipses=folder / "ellipses.csv",
        null=folder / "null_stress.csv",
        map=folder / "map.csv",
        record=folder / "map.json",
    )


def circle_settings():
    """The settings that the rule hands to the step."""
    return read_yaml(DEFAULTS)["circle"]


def order(folder, older=(), **changed):
    fewer = {"adjacency_replicates": 20, "random_drawings": 20, "free_tour_starts": 5}
    redraw_rings(
        places=folder / "places.csv",
        sorts=folder / "analysed.csv",
        chart=folder / "chart_source.json",
        study="kinship",
        seed=1,
        method="average",
        replicates=20,
        neighbours=folder / "class_neighbours.csv",
    )
    order_circle(
        places=folder / "places.csv",
        evidence=folder / "evidence.csv",
        tree=folder / "published_linkage.csv",
        linkage=folder / "linkage.csv",
        distances=folder / "distances.csv",
        sectors=folder / "sectors.csv",
        class_neighbours=folder / "class_neighbours.csv",
        points=folder / "points.csv",
        map_record=folder / "map.json",
        older=older,
        older_study="older" if older else None,
        study="kinship",
        seed=1,
        settings=circle_settings() | fewer | changed,
        order=folder / "order.csv",
        order_data_only=folder / "order_data_only.csv",
        record=folder / "order.json",
        classes=folder / "adjacency.csv",
    )


def by_term(table, path):
    return {row["term"]: row for row in table.read(path)}


def copied(study, folder):
    for path in study.iterdir():
        if path.is_file():
            (folder / path.name).write_bytes(path.read_bytes())
