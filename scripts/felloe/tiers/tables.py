"""The tables of the published tiers, its groups and its decisions."""

import math

import numpy as np

from felloe.errors import Fault, StudyError
from felloe.ground.linkage import number_by_appearance
from felloe.ground.tables import number, read_table, write_table
from felloe.tiers.decisions import Decision
from felloe.tiers.publishing import Evidence, group_rows, probability_in, tier_rows

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
