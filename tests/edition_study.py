"""Result files of two invented editions with a known history."""

from dataclasses import replace
from hashlib import sha256
from pathlib import Path

import numpy as np
from felloe.circle.tables import ORDER
from felloe.clustering.tree_files import write_tree
from felloe.comparison.chart import ChartSource, write_chart_source
from felloe.editions.reading import EditionPaths
from felloe.editions.steps.write_crosswalk import main as crosswalk
from felloe.editions.steps.write_members import main as members
from felloe.editions.tables import TERMS
from felloe.ground.distances import Distances, rounded_dissimilarity
from felloe.ground.files.records import write_json
from felloe.ground.files.tables import write_square
from felloe.ground.groups.tree import tree_of
from felloe.ground.people.counts import counts_of
from felloe.ground.people.sorts import Sorts
from felloe.tiers.tables import DATA_ONLY, PUBLISHED
from felloe.validation.analysed import write_analysed
from felloe.validation.tables import CROSSWALK
from felloe.validation.tables import TERMS as LEXICON
from link_editions import main as link

FILES = {
    "about": "study.json",
    "terms": "terms.csv",
    "sorts": "analysed.csv",
    "distances": "distances.csv",
    "tree": "linkage.csv",
    "data_only": "data_only.csv",
    "published": "published.csv",
    "order": "order.csv",
    "chart": "chart.json",
}
CLASSES = {
    "2016": {"a": "a1 a2 a3 a4 a5", "b": "b1 b2 b3 b4 old-b mover", "c": "c1 c2 c3 c4 gone"},
    "2026": {"a": "a1 a2 a3 a4 a5 mover", "b": "b1 b2 b3 b4 new-b", "c": "c1 c2 c3 c4 fresh"},
}
RENAMED = {"new-b": "old-b"}


def write_edition(folder, year):
    """Write what a study's results tell of an edition whose people sort with a little noise."""
    home = {term: name for name, terms in CLASSES[year].items() for term in terms.split()}
    terms = tuple(sorted(home))
    rng = np.random.default_rng(int(year))
    numbers = np.array([list(CLASSES[year]).index(home[term]) for term in terms])
    strays = rng.random((24, len(terms))) < 0.08
    piles = np.where(strays, rng.integers(3, size=(24, len(terms))), numbers)
    people = tuple(f"p{i:02}" for i in range(24))
    sorts = Sorts(people, ("all",) * 24, terms, piles)
    write_analysed(folder / "analysed.csv", sorts)
    distances = Distances(sorts.terms, rounded_dissimilarity(counts_of(sorts).similarity()))
    write_square(folder / "distances.csv", distances.terms, distances.D)
    write_tree(folder / "linkage.csv", tree_of(distances, "average"))
    about = {
        "title": f"Words of {year}",
        "edition": year,
        "instruction": "Sort.",
        "populations": {},
        "language": {"2016": "de", "2026": "en"}[year],
    }
    write_json(folder / "study.json", about)
    write_chart_source(folder / "chart.json", ChartSource("pooled", "plain"))
    LEXICON.write(folder / "terms.csv", [lexicon_row(term) for term in terms])
    first = {name: min(members.split()) for name, members in CLASSES[year].items()}
    write_tiers(folder, terms, [first[home[term]] for term in terms])
    order = sorted(terms, key=lambda term: (home[term], term))
    ORDER.write(folder / "order.csv", [order_row(term, first[home[term]]) for term in order])
    return EditionPaths(**{name: folder / file for name, file in FILES.items()})


def lexicon_row(term):
    texts = {"label": term.upper(), "definition": f"About {term[:1]}."}
    return dict.fromkeys(LEXICON.names) | texts | {
        "term": term, "renamed_from": RENAMED.get(term)
    }  # fmt: skip


def order_row(term, group):
    return dict.fromkeys(ORDER.names) | {"term": term, "class": group, "subclass": group}


def write_tiers(folder, terms, classes):
    rows = [
        {
            "term": term,
            "class": group,
            "subclass": group,
            "class_name": f"class of {group}",
            "subclass_name": group,
            "home_probability": 0.95,
            "rival_class": None,
            "rival_probability": None,
            "status": "firm",
        }
        for term, group in zip(terms, classes)
    ]
    DATA_ONLY.write(folder / "data_only.csv", rows)
    PUBLISHED.write(folder / "published.csv", [{**row, "absorbed": False} for row in rows])


def outputs_in(folder):
    return {"comparison": folder / "comparison.json", "terms": folder / "terms.csv"}


def told_in(folder):
    """Return the tables and mappings of a comparison that its report reads."""
    mapped = {"members": folder / "members.csv", "crosswalk": folder / "crosswalk.ttl"}
    return outputs_in(folder) | mapped


def sides(older, newer, declared=()):
    """Return the files of both editions, and their links, which are made on the way."""
    folder = Path(newer.terms).parent
    key = sha256(repr((older, declared)).encode()).hexdigest()[:8]  # one file for each crosswalk
    files = {name: folder / f"{name}-{key}.csv" for name in ("crosswalk", "links", "suggested")}
    CROSSWALK.write(files["crosswalk"], declared)
    names = {"older": "older", "newer": "newer", "faults": folder / "faults.csv"}
    link(older_terms=older.terms, newer_terms=newer.terms, **names, **files)
    return {
        "links": files["links"],
        **files_of(older, newer),
    }


def files_of(older, newer):
    return {
        f"{side}_{name}": getattr(paths, name)
        for side, paths in (("older", older), ("newer", newer))
        for name in FILES
    }


def map_crosswalk(settings, folder, path):
    names = ("links", "older_about", "newer_about", "older_terms", "newer_terms")
    crosswalk(**outputs_in(folder), **{name: settings[name] for name in names}, crosswalk=path)


def fate(folder):
    return {row["term"]: row for row in TERMS.read(folder / "terms.csv")}


def declared_row(older, newer, relation, reason="as decided"):
    """Return a row of `validation/crosswalk.csv`; ids are joined by blanks."""
    ids = {"older": tuple(older.split()), "newer": tuple(newer.split())}
    return {"older_study": "", **ids, "relation": relation, "reason": reason, "line": 2}


def members_of(settings, folder):
    """Tell members of a comparison in a folder; return the paths of page, table and workbook."""
    names = ("links", "older_about", "newer_about", "older_terms", "newer_terms")
    paths = {"page": "members.html", "members": "members.csv", "workbook": "members.xlsx"}
    paths = {name: folder / file for name, file in paths.items()}
    members(**outputs_in(folder), **{name: settings[name] for name in names}, **paths)
    return paths


def defined_anew(paths, folder, *terms):
    """Return an edition's files in which some terms are defined in other words."""
    rows = LEXICON.read(paths.terms)
    for row in rows:
        row["definition"] += " And more." if row["term"] in terms else ""
    LEXICON.write(folder / "terms.csv", rows)
    return replace(paths, terms=folder / "terms.csv")
