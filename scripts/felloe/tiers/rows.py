"""
What was judged, decided and published, as rows of the tables and back.

Apart from the declarations, so that a step that reads the tiers does not consist of the code
that places terms and replays decisions.
"""

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from felloe.clustering.tables import CLASS_SHARES, CLASSES, HOMES, SUPPORT, TIES
from felloe.errors import Fault, StudyError
from felloe.ground.distances import Distances
from felloe.ground.files.tables import Row, Table
from felloe.ground.groups.partition import Partition
from felloe.ground.squares import nearest_terms
from felloe.ground.terms import Terms, check_same
from felloe.tiers.cuts import Supports, Tiers
from felloe.tiers.decisions import Decision, Publication
from felloe.tiers.names import GivenName
from felloe.tiers.placement import (
    HOME,
    RIVAL,
    Evidence,
    Leanings,
    Placement,
)
from felloe.tiers.placement import UNDECIDED as OPEN
from felloe.tiers.publishing import (
    ClassShares,
    DataChart,
    NamedChart,
    decision_rows,
    group_rows,
    published_rows,
    tier_rows,
)
from felloe.tiers.tables import (
    DATA_ONLY,
    DECISIONS,
    EVIDENCE,
    GROUPS,
    NEAREST,
    PLACES,
    PUBLISHED,
    UNDECIDED,
)
from felloe.validation.tables import DECISIONS as HANDED_IN
from felloe.validation.tables import NAMES, TERMS


def read_supports(path: str | Path) -> Supports:
    """Read `clustering/support.csv`: Jaccard coefficient and limit of the nodes of the tree."""
    return {
        frozenset(row["members"]): (row["jaccard"], row["jaccard_null_95"])
        for row in SUPPORT.read(path)
    }


def read_clustering_evidence(
    tiers: Tiers,
    supports: Supports,
    rogues: Sequence[str],
    *,
    homes: str | Path,
    class_support: str | Path,
    ties: str | Path,
) -> Evidence:
    """
    Read what the redraws and the audit of ties say of every term's place.

    Parameters
    ----------
    tiers : Tiers
    supports : Supports
        As `read_supports`.
    rogues : sequence of str
        Terms that wander.
    homes, class_support, ties : path
        `homes.csv`, `classes.csv` and `ties.csv` of `clustering/`.

    Returns
    -------
    Evidence

    Raises
    ------
    DifferentTerms
        If a table is about other terms than the tiers.
    """
    of_homes, of_ties = rows_of(HOMES, homes, tiers.terms), rows_of(TIES, ties, tiers.terms)
    holds = {row["class"]: row["holds"] for row in CLASSES.read(class_support)}
    return Evidence(
        tiers=tiers,
        home_probability=np.array([row["home_probability"] for row in of_homes]),
        rival=tuple(row["rival_class"] for row in of_homes),
        rival_probability=np.array([row["rival_probability"] for row in of_homes]),
        holds=np.array([holds[name] for name in tiers.classes.of_terms]),
        tie_share=np.array([row["class_depends_on_tie_break"] for row in of_ties]),
        rogues=np.isin(tiers.terms, list(rogues)),
        supports=supports,
    )


def rows_of(table: Table, path: str | Path, terms: Terms) -> list[Row]:
    """Read a table of one row per term; it must be about these terms in this order."""
    rows = table.read(path)
    check_same(Terms(row["term"] for row in rows), terms, table.path, "the tiers")
    return rows


def write_evidence(path: str | Path, evidence: Evidence, placed: Placement) -> None:
    """Write what is known of every term."""
    EVIDENCE.write(path, evidence_rows(evidence, placed))


def evidence_rows(evidence: Evidence, placed: Placement) -> Iterator[Row]:
    """Yield what is known of every term."""
    tiers = evidence.tiers
    classes, subclasses = tiers.classes.of_terms, tiers.subclasses.of_terms
    absent = (float("nan"), float("nan"))
    for place, term in enumerate(tiers.terms):
        group = frozenset(tiers.subclasses.members(int(tiers.subclasses.labels[place])))
        support, without_structure = evidence.supports.get(group, absent)
        yield {
            "term": term,
            "class": classes[place],
            "subclass": subclasses[place],
            "home_probability": evidence.home_probability[place],
            "rival_class": evidence.rival[place],
            "rival_probability": evidence.rival_probability[place],
            "status": placed.status[place],
            "reason": ";".join(placed.reasons[place]),
            "margin": evidence.margin[place],
            "similarity_home": placed.similarity_home[place],
            "similarity_rival": placed.similarity_rival[place],
            "class_status": "kept" if evidence.holds[place] else "independent",
            "subclass_support": support,
            "subclass_support_null_95": without_structure,
            "tie_share": evidence.tie_share[place],
            "rogue": evidence.rogues[place],
        }


def write_undecided(
    path: str | Path,
    distances: Distances,
    evidence: Evidence,
    placed: Placement,
    leanings: Leanings,
) -> None:
    """Write what the committee needs to settle each undecided term, the least settled first."""
    check_same(distances.terms, evidence.tiers.terms, "the distances", "the tiers")
    open_terms = [place for place, status in enumerate(placed.status) if status == OPEN]
    open_terms.sort(key=lambda place: float(evidence.home_probability[place]))
    rows = (undecided_row(one, distances, evidence, placed, leanings) for one in open_terms)
    further = [f"{side}:{name}" for name in leanings.populations for side in (HOME, RIVAL)]
    UNDECIDED.write(path, rows, further)


def undecided_row(
    place: int,
    distances: Distances,
    evidence: Evidence,
    placed: Placement,
    leanings: Leanings,
) -> Row:
    """Return what the committee needs to settle the term at a place."""
    S, terms, sides = distances.similarity, distances.terms, leanings.sides(place)
    nearest = nearest_terms(S, place, NEAREST)
    shares = [float(S[place, other]) for other in nearest]
    shares += [float("nan")] * (NEAREST - len(shares))
    row = {
        "term": terms[place],
        "reason": ";".join(placed.reasons[place]),
        "home_class": evidence.tiers.classes.of_terms[place],
        "home_probability": evidence.home_probability[place],
        "rival_class": evidence.rival[place],
        "rival_probability": evidence.rival_probability[place],
        "similarity_home": placed.similarity_home[place],
        "similarity_rival": placed.similarity_rival[place],
        "nearest_terms": tuple(terms[other] for other in nearest),
        **{f"nearest_share_{number}": one for number, one in enumerate(shares, 1)},
        "populations": ";".join(f"{one}:{side}" for one, side in zip(leanings.populations, sides)),
        "populations_agree": len(set(sides)) == 1,
    }
    for number, name in enumerate(leanings.populations):
        row[f"{HOME}:{name}"] = leanings.home[number, place]
        row[f"{RIVAL}:{name}"] = leanings.rival[number, place]
    return row


def read_data_chart(evidence: str | Path, terms: str | Path) -> DataChart:
    """
    Read where the data put every term, and how firmly.

    Parameters
    ----------
    evidence, terms : path
        `tiers/evidence.csv` and `validation/terms.csv`.

    Returns
    -------
    DataChart
    """
    rows = EVIDENCE.read(evidence)
    return DataChart(
        labels={row["term"]: row["label"] or row["term"] for row in TERMS.read(terms)},
        tiers=tiers_of(rows),
        home=np.array([row["home_probability"] for row in rows]),
        rival=tuple(row["rival_class"] for row in rows),
        rival_probability=np.array([row["rival_probability"] for row in rows]),
        status=tuple(row["status"] for row in rows),
    )


def read_placed(evidence: str | Path) -> tuple[Tiers, tuple[str, ...]]:
    """Read the tiers of the data and the status of every term, `tiers/evidence.csv`."""
    rows = EVIDENCE.read(evidence)
    return tiers_of(rows), tuple(row["status"] for row in rows)


def tiers_of(rows: Sequence[Row]) -> Tiers:
    """Return the tiers that rows of `EVIDENCE` tell."""
    return Tiers(Partition.of_rows(rows, "class"), Partition.of_rows(rows, "subclass"))


def read_class_shares(path: str | Path, classes: Partition) -> ClassShares:
    """
    Read `clustering/class_shares.csv`: how often each term falls into each class.

    Parameters
    ----------
    path : path
    classes : Partition
        Of the chart of the data.

    Returns
    -------
    ClassShares

    Raises
    ------
    DifferentTerms
        If the table is about other terms.
    """
    rows = CLASS_SHARES.read(path)
    read = {(row["term"], row["class"]): row["share"] for row in rows}
    known = Terms(dict.fromkeys(row["term"] for row in rows))
    check_same(known, classes.terms, CLASS_SHARES.path, "the chart of the data")
    shares = [[read[term, of_class] for of_class in classes.ids] for term in known]
    return ClassShares(classes, np.array(shares))


def read_names(path: str | Path) -> list[GivenName]:
    """Read the names that the committee gave, `validation/names.csv`."""
    return [
        GivenName(row["tier"], row["anchor"], row["name"], bool(row["absorbs"]))
        for row in NAMES.read(path)
    ]


def read_decisions(path: str | Path) -> list[Decision]:
    """
    Read the committee's decisions, `validation/decisions.csv`.

    Raises
    ------
    StudyError
        For decisions without a reason.
    """
    decisions = [
        Decision(row["term"], row["beside"], row["reason"], row["decided_on"], row["decided_by"])
        for row in HANDED_IN.read(path)
    ]
    faults = [
        Fault(
            "decisions.csv",
            0,
            "reason",
            one.term,
            "was moved without a reason, so the decision is refused",
            "Write why, so that a reader can judge it.",
        )
        for one in decisions
        if not one.reason.strip()
    ]
    if faults:
        raise StudyError(faults)
    return decisions


def write_charts(
    paths: Mapping[str, str | Path],
    chart: DataChart,
    named: tuple[NamedChart, NamedChart],
    publication: Publication,
    shares: ClassShares,
) -> None:
    """
    Write where the data alone put each term, and where it is published.

    Parameters
    ----------
    paths : mapping of str to path
        `data_only`, `published` and `places`.
    """
    DATA_ONLY.write(paths["data_only"], tier_rows(chart, named[0]))
    rows = list(published_rows(chart, named[1], publication, shares))
    PUBLISHED.write(paths["published"], rows)
    kept = [column.name for column in PLACES.columns]
    PLACES.write(paths["places"], ({name: row[name] for name in kept} for row in rows))


def write_groups(
    path: str | Path, named: tuple[NamedChart, NamedChart], supports: Supports
) -> None:
    """Write the groups of both charts with the support of those that the tree of the data has."""
    jaccards: Mapping[frozenset[str], float] = {
        group: support for group, (support, _) in supports.items()
    }
    rows: list[dict[str, Any]] = []
    for which, one in zip(("data_only", "published"), named):
        rows += group_rows(which, one, jaccards)
    GROUPS.write(path, rows)


def write_decisions(path: str | Path, publication: Publication, shares: ClassShares) -> None:
    """Write what was decided, what became of it and what it costs, in the order of the replay."""
    DECISIONS.write(path, decision_rows(publication.replayed, shares))
