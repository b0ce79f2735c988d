"""The whole chart as data: put together from results, written as `chart.json`, read again."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from felloe.circle.tables import ADJACENCY, ORDER, from_a_boundary
from felloe.clustering.tables import SUPPORT
from felloe.clustering.tree_files import read_tree
from felloe.colours.tables import COLOURS
from felloe.comparison.chart import read_chart_source
from felloe.ground.distances import Distances
from felloe.ground.files.numbers import is_blank
from felloe.ground.files.records import read_json, write_json
from felloe.ground.files.tables import Row, read_square
from felloe.ground.groups.tree import Tree
from felloe.ground.people.sorts import POOLED
from felloe.ground.squares import nearest_terms
from felloe.ground.terms import Terms, check_same
from felloe.report.chart_tree import neighbour_shares, tree_entry
from felloe.tiers.tables import GROUPS, PUBLISHED
from felloe.validation.tables import DECISIONS, FLOW, TERMS

Record = dict[str, Any]  # a part of chart.json; each is described in its schema
SHOWN = "terms_per_participant"  # of a study in which everybody was shown some of the terms
FORMAT = "felloe-chart/4"
NEAREST = 5  # neighbours in the data that are named for each term
SHARE_DECIMALS = 12  # of one less a distance, which is kept to as many
ANGLES = {"unit": "degree", "zero": "top", "direction": "clockwise"}


@dataclass(frozen=True)
class Sources:
    """
    The results that a chart is put together from.

    Attributes
    ----------
    study : dict
        `validation/study.json`.
    charted : str
        The population whose sorts are charted, or `POOLED`.
    provisional : bool
        Whether all are charted though nobody can tell if they may be pooled.
    preview : bool
        Whether it was computed with few replicates, for trying things.
    override : dict or None
        The setting that stands above the verdict, and the reason that was given.
    participants : mapping of str to int
        Analysed participants of each population.
    words, decisions, published : mapping of str to row
        By term: `validation/terms.csv`, `validation/decisions.csv`, `tiers/published.csv`.
    groups, colours : mapping of (tier, id) to row
        Of the published chart in `tiers/groups.csv`; `circle/colours.csv`.
    support : mapping of frozenset of str to row
        `clustering/support.csv` by the terms of the node.
    ring : sequence of row
        `circle/order.csv`.
    distances : Distances
    tree : Tree
        The published one.
    neighbours : mapping of frozenset of str to float
        Share of redraws in which two classes are neighbours.
    """

    study: Record
    charted: str
    provisional: bool
    preview: bool
    override: Record | None
    participants: Mapping[str, int]
    words: Mapping[str, Row]
    decisions: Mapping[str, Row]
    published: Mapping[str, Row]
    groups: Mapping[tuple[str, str], Row]
    colours: Mapping[tuple[str, str], Row]
    support: Mapping[frozenset[str], Row]
    ring: Sequence[Row]
    distances: Distances
    tree: Tree
    neighbours: Mapping[frozenset[str], float]

    def __post_init__(self) -> None:
        """Check that every published term has its distances, its word, and its place or none."""
        placed = {row["term"] for row in self.ring}
        absorbed = {term for term, row in self.published.items() if row["absorbed"]}
        published = Terms(sorted(self.published))
        check_same(published, Terms(sorted(self.distances.terms)), "the tiers", "the distances")
        check_same(published, Terms(sorted(self.tree.terms)), "the tiers", "the tree")
        check_same(published, Terms(sorted(placed | absorbed)), "the tiers", "the ring")
        Terms(self.words).places(published)

    @property
    def class_names(self) -> dict[str, str]:
        """The name of every class by its id."""
        return {row["class"]: row["class_name"] for row in self.published.values()}


def read_sources(
    *,
    about: str | Path,
    whose: str | Path,
    flow: str | Path,
    terms: str | Path,
    decisions: str | Path,
    published: str | Path,
    groups: str | Path,
    colours: str | Path,
    support: str | Path,
    order: str | Path,
    distances: str | Path,
    tree: str | Path,
    adjacency: str | Path,
) -> Sources:
    """
    Read what a chart is put together from.

    Parameters
    ----------
    about, whose, flow, terms, decisions, published, groups, colours, support, order, distances,
    tree, adjacency
        `validation/study.json`, `comparison/chart.json`, `validation/flow.csv`,
        `validation/terms.csv`, `validation/decisions.csv`, `tiers/published.csv`,
        `tiers/groups.csv`, `circle/colours.csv`, `clustering/support.csv`, `circle/order.csv`,
        `clustering/distances.csv`, `tiers/published_linkage.csv`, `circle/adjacency.csv`.
    """
    source = read_chart_source(whose)
    return Sources(
        study=read_json(about),
        charted=source.source,
        provisional=source.provisional,
        preview=source.preview,
        override=source.override and {"setting": source.override, "reason": source.override_reason},
        participants={
            row["population"]: row["n"] for row in FLOW.read(flow) if row["stage"] == "analysed"
        },
        words={row["term"]: row for row in TERMS.read(terms)},
        decisions={row["term"]: row for row in DECISIONS.read(decisions)},
        published={row["term"]: row for row in PUBLISHED.read(published)},
        groups={
            (row["tier"], row["id"]): row
            for row in GROUPS.read(groups)
            if row["chart"] == "published"
        },
        colours={(row["tier"], row["term"]): row for row in COLOURS.read(colours)},
        support={frozenset(row["members"]): row for row in SUPPORT.read(support)},
        ring=ORDER.read(order),
        distances=Distances(*read_square(distances)),
        tree=read_tree(tree),
        neighbours=neighbour_shares(ADJACENCY.read(adjacency)),
    )


def assemble_chart(sources: Sources, limits: Mapping[str, float]) -> Record:
    """
    Put the results of a study together as one chart.

    Parameters
    ----------
    sources : Sources
    limits : mapping of str to float
        Home-class probabilities from which a term is firm and below which it is undecided.

    Returns
    -------
    dict
        As `workflow/schemas/records/report.chart.schema.yaml` describes it.
    """
    study = sources.study
    return {
        "format": FORMAT,
        "title": study["title"],
        "edition": str(study["edition"]),
        "language": study["language"],
        "instruction": study.get("instruction", ""),
        **({SHOWN: study[SHOWN]} if SHOWN in study else {}),
        "populations": [
            {
                "id": name,
                "label": label,
                "participants": sources.participants[name],
                "charted": sources.charted in (POOLED, name),
            }
            for name, label in study["populations"].items()
        ],
        "provisional": sources.provisional,
        "preview": sources.preview,
        "override": sources.override,
        "angles": ANGLES,
        "limits": dict(limits),
        "classes": with_next(nested(sources), sources.neighbours),
        "tree": tree_entry(
            sources.tree,
            sources.support,
            (term for term, row in sources.published.items() if row["status"] == "moved"),
        ),
        "untranslated": [],
    }


def nested(sources: Sources) -> list[Record]:
    """Return classes, subclasses and terms in order around the circle, absorbed terms apart."""
    ring = from_a_boundary(sources.ring)
    absorbed = [row for row in sources.published.values() if row["absorbed"]]
    nearest = nearest_of_all(sources.distances)
    classes = []
    for class_ in ids_of("class", [*ring, *absorbed]):
        of_class = [row for row in ring if row["class"] == class_]
        left = [row for row in absorbed if row["class"] == class_]
        entry = group_entry("class", class_, of_class, sources)
        entry |= {"next_support": None, "subclasses": []}
        for subclass in ids_of("subclass", [*of_class, *left]):
            inside = [row for row in of_class if row["subclass"] == subclass]
            gone = [row["term"] for row in left if row["subclass"] == subclass]
            part = group_entry("subclass", subclass, inside, sources)
            part["terms"] = [term_entry(row["term"], row, nearest, sources) for row in inside]
            part["absorbed"] = [term_entry(term, None, nearest, sources) for term in gone]
            entry["subclasses"].append(part)
        classes.append(entry)
    return classes


def with_next(classes: list[Record], neighbours: Mapping[frozenset[str], float]) -> list[Record]:
    """Add to each class how often it and the next one around the circle are neighbours."""
    ring = on_ring(classes)
    for entry, following in zip(ring, ring[1:] + ring[:1], strict=True):
        entry["next_support"] = neighbours.get(frozenset((entry["id"], following["id"])))
    return classes


def ids_of(tier: str, rows: Sequence[Row]) -> list[str]:
    """Return the ids of a tier's groups in the order in which they first appear."""
    return list(dict.fromkeys(row[tier] for row in rows))


def group_entry(tier: str, name: str, rows: Sequence[Row], sources: Sources) -> Record:
    """Return what is known of one class or subclass; `rows` are its sectors."""
    own = [row for row in sources.published.values() if row[tier] == name]
    group = sources.groups.get((tier, name), {})
    node = sources.support.get(frozenset(row["term"] for row in own), {})
    jaccard = known(group, "jaccard")
    start, end = span(rows)
    return {
        "id": name,
        "name": own[0][f"{tier}_name"] or name,
        "name_is_proposal": bool(group.get("proposed")),
        "anchor": known(group, "anchor"),
        "start_deg": start,
        "end_deg": end,
        "gap_after_deg": known(rows[-1], "gap_after_deg") if rows else None,
        "support": {
            "jaccard": known(node, "jaccard") if jaccard is None else jaccard,
            "bootstrap_proportion": known(node, "bootstrap_proportion"),
            "height": known(node, "height"),
        },
        "colour": colour_entry(tier, name, sources),
    }


def span(rows: Sequence[Row]) -> tuple[float | None, float | None]:
    """Return the angles at which a run of sectors starts and ends; the end may pass 360."""
    if not rows:
        return None, None
    start, end = rows[0]["start_deg"], rows[-1]["end_deg"]
    return start, end + 360 if end <= start else end


def term_entry(
    term: str, sector: Row | None, nearest: Mapping[str, list[Record]], sources: Sources
) -> Record:
    """Return what is known of one term; its sector is None off the ring."""
    word, tiers = sources.words[term], sources.published[term]
    rival = known(tiers, "rival_class")
    start, end = span([sector] if sector else [])
    return {
        "id": term,
        "label": word["label"] or term,
        "definition": known(word, "definition"),
        "reference": known(word, "reference"),
        "caution": known(word, "caution"),
        "start_deg": start,
        "end_deg": end,
        "gap_after_deg": known(sector or {}, "gap_after_deg"),
        "join_height_to_next": known(sector or {}, "join_height_to_next"),
        "status": tiers["status"],
        "home_probability": known(tiers, "home_probability"),
        "rival_class": rival,
        "rival_class_name": sources.class_names.get(rival, rival),
        "rival_probability": known(tiers, "rival_probability"),
        "decision": decision_entry(term, sources) if tiers["status"] == "moved" else None,
        "nearest": nearest[term],
        "colour": colour_entry("term", term, sources),
    }


def decision_entry(term: str, sources: Sources) -> Record | None:
    """Return why the committee placed a term where it is, if it did."""
    decision = sources.decisions.get(term)
    return decision and {name: decision[name] for name in ("beside", "reason", "decided_on")}


def colour_entry(tier: str, name: str, sources: Sources) -> Record:
    """Return the colours of one segment."""
    row = sources.colours[tier, name]
    return {
        "used": row["used"],
        "picked": known(row, "picked"),
        "delta_e_2000": known(row, "delta_e_2000"),
        "n_picks": row["n_picks"],
        "reason": row["reason"],
        "shade": row["shade"],
        "n_shades": row["n_shades"],
        "delta_e_subclass": known(row, "delta_e_subclass"),
        "text": row["text_colour"],
        "contrast_ratio": known(row, "contrast_ratio"),
        "outline": row["outline"],
    }


def nearest_of_all(distances: Distances) -> dict[str, list[Record]]:
    """Return for each term those most often put with it, and the share who did; ties by place."""
    terms, S = distances.terms, distances.similarity
    return {
        term: [
            {"term": terms[place], "share_together": round(float(S[at, place]), SHARE_DECIMALS)}
            for place in nearest_terms(S, at, NEAREST)
        ]
        for at, term in enumerate(terms)
    }


def known(row: Mapping[str, Any], column: str) -> Any:
    """Return a cell, None for an empty or missing one."""
    value = row.get(column)
    return None if is_blank(value) else value


def write_chart(path: str | Path, chart: Record) -> None:
    """Write a chart as JSON."""
    write_json(path, chart)


def read_chart(path: str | Path) -> Record:
    """Read a chart."""
    chart: Record = read_json(path)
    return chart


def chart_terms(
    chart: Record, with_absorbed: bool = False
) -> Iterator[tuple[Record, Record, Record]]:
    """Yield (class, subclass, term) entries in order around the circle."""
    for class_ in chart["classes"]:
        for subclass in class_["subclasses"]:
            for term in subclass["terms"] + (subclass["absorbed"] if with_absorbed else []):
                yield class_, subclass, term


def on_ring(groups: Sequence[Record]) -> list[Record]:
    """Return the classes, or the subclasses, that have terms on the ring."""
    return [group for group in groups if group["start_deg"] is not None]


def together_with_next(class_: Record) -> float | None:
    """Return the share of people that joins a class on the ring to the next; None if unknown."""
    last = [term for subclass in class_["subclasses"] for term in subclass["terms"]][-1]
    height = last["join_height_to_next"]
    return None if height is None else max(0.0, 1.0 - height)
