"""The tables of the published tiers, its groups and its decisions."""

import math

import numpy as np

from felloe.errors import Fault, StudyError
from felloe.ground.partition import number_by_appearance
from felloe.ground.tables import Column, Table, number, read_table, write_table
from felloe.tiers.decisions import Decision
from felloe.tiers.publishing import Evidence, group_rows, probability_in, tier_rows

DATA_ONLY = Table(
    "tiers/data_only.csv",
    "Where the data alone put each term.",
    (
        Column("term", "id", "term"),
        Column("class", "id", "class: its alphabetically first term"),
        Column("subclass", "id", "subclass: its alphabetically first term"),
        Column("class_name", "text", "name of the class"),
        Column("subclass_name", "text", "name of the subclass"),
        Column(
            "home_probability", "share", "share of replicates in which the term falls in its class"
        ),
        Column("rival_class", "id", "second best class"),
        Column("rival_probability", "share", "share of replicates in which it falls there"),
        Column("status", "text", "firm, doubtful, undecided, or moved by the committee"),
    ),
)

PUBLISHED = Table(
    "tiers/published.csv",
    "Where each term is published.",
    (
        Column("term", "id", "term"),
        Column("class", "id", "class: its alphabetically first term"),
        Column("subclass", "id", "subclass: its alphabetically first term"),
        Column("class_name", "text", "name of the class"),
        Column("subclass_name", "text", "name of the subclass"),
        Column(
            "home_probability", "share", "share of replicates in which the term falls in its class"
        ),
        Column("rival_class", "id", "second best class"),
        Column("rival_probability", "share", "share of replicates in which it falls there"),
        Column("status", "text", "firm, doubtful, undecided, or moved by the committee"),
        Column(
            "absorbed", "yes/no", "whether the term became a group's name and left the outer ring"
        ),
    ),
)

EVIDENCE = Table(
    "tiers/evidence.csv",
    "What is known of each term's place.",
    (
        Column("term", "id", "term"),
        Column("class", "id", "class", unit="class id"),
        Column("subclass", "id", "subclass"),
        Column(
            "home_probability", "share", "share of replicates in which the term falls in its class"
        ),
        Column("rival_class", "id", "second best class", unit="class id"),
        Column("rival_probability", "share", "share of replicates in which it falls there"),
        Column("status", "text", "firm, doubtful or undecided"),
        Column("reason", "text", "why it is not firm"),
        Column("margin", "share", "home less rival"),
        Column(
            "similarity_home",
            "share",
            "mean share of people who put it together with the other terms of its class",
        ),
        Column("similarity_rival", "share", "the same for the rival class"),
        Column("class_status", "text", "kept, or independent: below the minimum size or support"),
        Column("subclass_support", "number", "mean Jaccard index of its subclass", unit="index"),
        Column(
            "subclass_support_null_95",
            "number",
            "95 % point of the same without structure",
            unit="index",
        ),
        Column("tie_share", "share", "share of random input orders in which its class differs"),
        Column("rogue", "yes/no", "whether it wanders"),
    ),
)

UNDECIDED = Table(
    "tiers/undecided.csv",
    "What the committee has to settle.",
    (
        Column("term", "id", "term"),
        Column("reason", "text", "why it is undecided"),
        Column("home_class", "id", "class it stands in", unit="class id"),
        Column("home_probability", "share", "share of replicates in which it falls there"),
        Column("rival_class", "id", "second best class", unit="class id"),
        Column("rival_probability", "share", "share of replicates in which it falls there"),
        Column(
            "similarity_home",
            "share",
            "mean share of people who put it together with the other terms of its class",
        ),
        Column("similarity_rival", "share", "the same for the rival class"),
        Column("nearest_terms", "text", "terms most often put together with it, with the share"),
        Column("populations", "text", "what each population alone says"),
        Column("populations_agree", "yes/no", "whether they say the same"),
    ),
)

GROUPS = Table(
    "tiers/groups.csv",
    "The groups of both charts.",
    (
        Column("chart", "text", "data_only or published"),
        Column("tier", "text", "class or subclass"),
        Column("id", "id", "alphabetically first term of the group"),
        Column("parent", "id", "class of a subclass", unit="class id"),
        Column("name", "text", "name"),
        Column(
            "proposed", "yes/no", "whether the name is a proposal, no committee having given one"
        ),
        Column("anchor", "id", "term that singles the group out"),
        Column("n_terms", "count", "terms in it", unit="terms", heading="terms"),
        Column(
            "jaccard",
            "number",
            "mean over replicates of the best Jaccard index with it",
            unit="index",
        ),
    ),
)

PUBLISHED_LINKAGE = Table(
    "tiers/published_linkage.csv",
    "The tree after the committee's decisions.",
    (
        Column(
            "left", "count", "first of the two joined, as in clustering/linkage.csv", unit="row"
        ),
        Column("right", "count", "second of the two joined", unit="row"),
        Column(
            "height",
            "number",
            "height of the merge in the tree as the decisions leave it",
            unit="share",
        ),
        Column("size", "count", "terms in the merged group", unit="terms"),
        Column("left_first", "id", "alphabetically first term of the first of the two"),
        Column("right_first", "id", "alphabetically first term of the second"),
    ),
)

DECISIONS = Table(
    "tiers/decisions.csv",
    "What the committee decided, what became of it, and its price.",
    (
        Column("step", "count", "order in which decisions are replayed", unit="number"),
        Column("term", "id", "term moved"),
        Column("beside", "id", "term whose subclass it joins"),
        Column("reason", "text", "reason given"),
        Column("decided_on", "text", "date of the decision"),
        Column("decided_by", "text", "role that decided"),
        Column("status", "text", "applied, or void where new data leave nothing to move"),
        Column("note", "text", "why it is void"),
        Column("class_before", "id", "class before", unit="class id"),
        Column("subclass_before", "id", "subclass before"),
        Column("class_after", "id", "class after", unit="class id"),
        Column("subclass_after", "id", "subclass after"),
        Column(
            "home_probability_before",
            "share",
            "share of replicates that put the term into its class before",
        ),
        Column("home_probability_after", "share", "share that put it into the class after"),
        Column("home_probability_basis", "text", "replicates that the shares come from"),
        Column("cophenetic_before", "number", "cophenetic correlation before", unit="index"),
        Column("cophenetic_after", "number", "cophenetic correlation after", unit="index"),
        Column(
            "cophenetic_change",
            "number",
            "change of the cophenetic correlation: the price",
            unit="index",
        ),
        Column(
            "silhouette_class_before",
            "number",
            "mean silhouette of the classes before",
            unit="index",
        ),
        Column(
            "silhouette_class_after", "number", "mean silhouette of the classes after", unit="index"
        ),
        Column(
            "silhouette_class_change",
            "number",
            "change of the mean silhouette of the classes: the price",
            unit="index",
        ),
        Column(
            "silhouette_subclass_before",
            "number",
            "mean silhouette of the subclasses before",
            unit="index",
        ),
        Column(
            "silhouette_subclass_after",
            "number",
            "mean silhouette of the subclasses after",
            unit="index",
        ),
        Column(
            "silhouette_subclass_change",
            "number",
            "change of the mean silhouette of the subclasses: the price",
            unit="index",
        ),
        Column("ring_before", "number", "length of the way around the circle before", unit="index"),
        Column("ring_after", "number", "length of the way around the circle after", unit="index"),
        Column(
            "ring_change",
            "number",
            "change of the length of the way around the circle: the price",
            unit="index",
        ),
    ),
)

TABLES = (
    DATA_ONLY,
    PUBLISHED,
    EVIDENCE,
    UNDECIDED,
    GROUPS,
    PUBLISHED_LINKAGE,
    DECISIONS,
)


TIER_COLUMNS = [
    "term",
    "class",
    "subclass",
    "class_name",
    "subclass_name",
    "home_probability",
    "rival_class",
    "rival_probability",
    "status",
]
GROUP_COLUMNS = [
    "chart",
    "tier",
    "id",
    "parent",
    "name",
    "proposed",
    "anchor",
    "n_terms",
    "jaccard",
]
DECISION_COLUMNS = [
    "step",
    "term",
    "beside",
    "reason",
    "decided_on",
    "decided_by",
    "status",
    "note",
    "class_before",
    "subclass_before",
    "class_after",
    "subclass_after",
    "home_probability_before",
    "home_probability_after",
    "home_probability_basis",
]
PRICES = ("cophenetic", "silhouette_class", "silhouette_subclass", "ring")


def read_evidence(evidence, terms):
    """
    Read where the data put every term, and how firmly.

    Parameters
    ----------
    evidence, terms : path
        `tiers/evidence.csv` and `validation/terms.csv`.

    Returns
    -------
    Evidence
    """
    rows = sorted(read_table(evidence), key=lambda row: row["term"])
    words = {row["term"]: row["label"] or row["term"] for row in read_table(terms)}
    classes = number_by_appearance(np.array([row["class"] for row in rows]))
    label_of = {row["class"]: int(label) for row, label in zip(rows, classes)}
    return Evidence(
        tuple(row["term"] for row in rows),
        tuple(words.get(row["term"], row["term"]) for row in rows),
        classes,
        number_by_appearance(np.array([row["subclass"] for row in rows])),
        np.array([number(row["home_probability"]) for row in rows]),
        np.array([label_of.get(row["rival_class"], -1) for row in rows]),
        np.array([number(row["rival_probability"]) for row in rows]),
        tuple(row["status"] for row in rows),
    )


def read_decisions(path, terms):
    """
    Read the committee's decisions.

    Parameters
    ----------
    path : path
        `validation/decisions.csv`.
    terms : sequence of str

    Returns
    -------
    rows : list of dict
    decisions : list of Decision

    Raises
    ------
    StudyError
        For decisions without a reason.
    """
    rows = read_table(path)
    faults = [
        Fault(
            "decisions.csv",
            0,
            "reason",
            row["term"],
            "was moved without a reason, so the decision is refused",
            "Write why, so that a reader can judge it.",
        )
        for row in rows
        if not row["reason"].strip()
    ]
    if faults:
        raise StudyError(faults)
    place = {term: i for i, term in enumerate(terms)}
    decisions = [
        Decision(place.get(row["term"], -1), place.get(row["beside"], -1), row["decided_on"])
        for row in rows
    ]
    return rows, decisions


def write_tiers(path, evidence, chart, publication=None, shares=None):
    """Write a chart, one row per term; the published one also says who was absorbed."""
    columns = TIER_COLUMNS + (["absorbed"] if publication is not None else [])
    write_table(path, columns, tier_rows(evidence, chart, publication, shares))


def write_groups(path, evidence, data_only, published, support):
    """
    Write the groups of both charts.

    Parameters
    ----------
    path : path
    evidence : Evidence
    data_only, published : NamedChart
    support : path
        `clustering/support.csv`.
    """
    jaccards = {
        frozenset(row["members"].split(";")): number(row["jaccard"]) for row in read_table(support)
    }
    rows = [*group_rows("data_only", evidence, data_only, jaccards)]
    rows += group_rows("published", evidence, published, jaccards)
    write_table(path, GROUP_COLUMNS, rows)


def write_decisions(path, rows, publication, evidence, chart, shares):
    """
    Write what was decided, what became of it and what it costs, in the order of the replay.

    Parameters
    ----------
    path : path
    rows : list of dict
        As `read_decisions` gives them.
    publication : Publication
    evidence : Evidence
    chart : NamedChart
        Of the data, whose group ids stay the names of groups during the replay.
    shares : (n, K) array of float or None
    """
    ids = {
        tier: {int(label): name for label, name in zip(chart.labels[tier], chart.ids[tier])}
        for tier in ("class", "subclass")
    }
    columns = DECISION_COLUMNS + [
        f"{price}_{when}" for price in PRICES for when in ("before", "after", "change")
    ]
    lines = []
    for step, one in enumerate(publication.replayed, 1):
        given = rows[one.number]
        line = {"step": step, "status": one.status, "note": one.note, **given}
        for when, place in (("before", one.before), ("after", one.after)):
            if place:
                line[f"class_{when}"] = ids["class"][place[0]]
                line[f"subclass_{when}"] = ids["subclass"][place[1]]
                term = evidence.terms.index(given["term"])
                value, basis = probability_in(evidence, shares, term, place[0])
                line[f"home_probability_{when}"] = value
                line["home_probability_basis"] = basis
        line.update(prices(one))
        lines.append(line)
    write_table(path, columns, lines)


def prices(one):
    """Return what a decision changes, empty for a void one."""
    if one.fit_after is None:
        return {}
    line = {}
    for price in PRICES:
        before, after = getattr(one.fit_before, price), getattr(one.fit_after, price)
        change = after - before
        line[f"{price}_before"], line[f"{price}_after"] = before, after
        line[f"{price}_change"] = None if math.isnan(change) else round(change, 12)
    return line
