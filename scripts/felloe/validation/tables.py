"""A checked study in one form, however it was handed in: what every later step reads."""

import csv
from dataclasses import dataclass

import numpy as np

from felloe.ground.records import write_json
from felloe.ground.sorts import UNPLACED, Sorts
from felloe.ground.tables import Column, Table, read_table, write_table
from felloe.ground.terms import Terms
from felloe.ground.writing import open_atomic
from felloe.validation.intake.csv_reader import read_csv

FINDINGS = Table(
    "validation/findings.csv",
    "What was noticed in the study's files, and what was done about it.",
    (
        Column("severity", "text", "note or warning"),
        Column("file", "text", "file of the study's folder"),
        Column(
            "line", "number", "line in that file, from 1; empty: the file as a whole", unit="line"
        ),
        Column("participant", "id", "participant concerned, if one is"),
        Column("term", "id", "term concerned, if one is"),
        Column("message", "text", "what was found and what was done about it"),
    ),
)

PARTICIPANTS = Table(
    "validation/participants.csv",
    "How each participant did the task, and whether the sort is analysed.",
    (
        Column("participant", "id", "pseudonym of the participant"),
        Column("population", "id", "population the participant belongs to"),
        Column("n_piles", "count", "number of piles", unit="piles"),
        Column("n_single_piles", "count", "piles that hold one term", unit="piles"),
        Column("largest_pile_share", "share", "share of the placed terms in the largest pile"),
        Column(
            "pairs_together_share",
            "share",
            "share of all pairs of placed terms put together: high for those who lump, low for "
            "those who split",
        ),
        Column("n_unplaced", "count", "terms not placed; missing, never apart", unit="terms"),
        Column(
            "order_following",
            "share",
            "share of neighbours in the presented order that share a pile",
        ),
        Column("order_following_p", "probability", "permutation p of that share"),
        Column(
            "alphabet_following",
            "share",
            "share of neighbours in alphabetical order that share a pile",
        ),
        Column("alphabet_following_p", "probability", "permutation p of that share"),
        Column("minutes", "number", "time the sort took, if recorded", unit="minutes"),
        Column("seconds_per_term", "number", "time per term", unit="seconds"),
        Column(
            "entropy_bits", "number", "entropy of the sizes of piles: 0 for one pile", unit="bits"
        ),
        Column("pile_sizes", "text", "sizes of all piles, the largest first, joined by ;"),
        Column(
            "agreement_with_others",
            "number",
            "adjusted Rand index with the consensus of the others; shown, never a reason to "
            "exclude",
            unit="index",
        ),
        Column("status", "text", "kept or excluded"),
        Column("reason", "text", "rule that excluded the participant"),
    ),
)

FLOW = Table(
    "validation/flow.csv",
    "How many participants of each population came how far.",
    (
        Column("population", "id", "population"),
        Column("stage", "text", "received, valid or analysed"),
        Column(
            "n", "count", "participants at that stage", unit="participants", heading="participants"
        ),
        Column("lost", "count", "participants lost since the stage before", unit="participants"),
        Column("reasons", "text", "who was lost and why"),
    ),
)

TERMS = Table(
    "validation/terms.csv",
    "The lexicon of the edition.",
    (
        Column("term", "id", "term"),
        Column("label", "text", "wording shown to participants"),
        Column("definition", "text", "definition"),
        Column("reference", "text", "reference material"),
        Column("caution", "text", "caution for whoever handles the reference"),
        Column(
            "width",
            "number",
            "relative width of the term's sector, if the study gives one",
            unit="relative",
        ),
        Column("renamed_from", "id", "the term's id in the edition before, if it was renamed"),
    ),
)

REGISTER = Table(
    "validation/register.csv",
    "Who took part.",
    (
        Column("participant", "id", "pseudonym"),
        Column("population", "id", "population"),
        Column("minutes", "number", "time the sort took, if recorded", unit="minutes"),
    ),
    personal=True,
)

NAMES = Table(
    "validation/names.csv",
    "The names that the committee gave to groups.",
    (
        Column("tier", "text", "class or subclass"),
        Column("anchor", "id", "term that singles the group out"),
        Column("name", "text", "name given to the group"),
        Column(
            "absorbs", "yes/no", "whether the anchor becomes the name and leaves the outer ring"
        ),
    ),
)

DECISIONS = Table(
    "validation/decisions.csv",
    "What the committee decided, as handed in.",
    (
        Column("term", "id", "term moved by the committee"),
        Column("beside", "id", "term whose subclass it joins"),
        Column("reason", "text", "reason given"),
        Column("decided_on", "text", "date of the decision"),
        Column("decided_by", "text", "role that decided"),
    ),
)

PICKS = Table(
    "validation/colours.csv",
    "The colours that people picked for terms.",
    (
        Column("term", "id", "term"),
        Column("respondent", "id", "who picked"),
        Column("colour", "colour", "picked colour, #rrggbb"),
    ),
)

SORTS = Table(
    "validation/sorts.csv",
    "Every placement as validated, one row each.",
    (
        Column("participant", "id", "pseudonym"),
        Column("term", "id", "term"),
        Column("pile", "count", "pile within this participant; empty: not placed", unit="number"),
        Column(
            "position", "count", "place at which the participant saw the term, from 1", unit="rank"
        ),
    ),
    personal=True,
)

ANALYSED = Table(
    "validation/analysed.csv",
    "The sorts that are analysed, one row per participant.",
    (
        Column("participant", "id", "pseudonym of a kept participant"),
        Column("population", "id", "population"),
    ),
    others=Column(
        "*",
        "count",
        "one column per term: the participant's pile; empty: not placed",
        unit="number",
    ),
    personal=True,
)

GRANULARITY = Table(
    "validation/granularity.csv",
    "How coarsely the populations sort.",
    (
        Column("population", "id", "population, or pooled"),
        Column("measure", "text", "column of participants.csv that is summarised"),
        Column("n", "count", "analysed participants", unit="participants", heading="participants"),
        Column("mean", "number", "mean", unit="measure"),
        Column("sd", "number", "standard deviation", unit="measure", heading="standard deviation"),
        Column("minimum", "number", "smallest value", unit="measure"),
        Column("lower_quartile", "number", "lower quartile", unit="measure"),
        Column("median", "number", "median", unit="measure"),
        Column("upper_quartile", "number", "upper quartile", unit="measure"),
        Column("maximum", "number", "largest value", unit="measure"),
    ),
)

STABILITY = Table(
    "validation/stability.csv",
    "How well halves and growing samples of the participants agree.",
    (
        Column("population", "id", "population, or pooled"),
        Column(
            "quantity",
            "text",
            "what is compared: correlation of two matrices, its value stepped up to all "
            "participants (reliability), or adjusted Rand agreement of classes or subclasses, "
            "between two parts or of one part with all",
        ),
        Column(
            "participants",
            "count",
            "people behind each of the matrices that are compared",
            unit="participants",
        ),
        Column("repeats", "count", "random repeats", unit="number"),
        Column("mean", "number", "mean over the repeats", unit="index"),
        Column("low", "number", "5 % point of the repeats", unit="index"),
        Column("median", "number", "median of the repeats", unit="index"),
        Column("high", "number", "95 % point of the repeats", unit="index"),
    ),
)

TABLES = (
    FINDINGS,
    PARTICIPANTS,
    FLOW,
    TERMS,
    REGISTER,
    NAMES,
    DECISIONS,
    PICKS,
    SORTS,
    ANALYSED,
    GRANULARITY,
    STABILITY,
)


TERM_COLUMNS = ("term", "label", "definition", "reference", "caution", "width", "renamed_from")
NAME_COLUMNS = ("tier", "anchor", "name", "absorbs")
DECISION_COLUMNS = ("term", "beside", "reason", "decided_on", "decided_by")
COLOUR_COLUMNS = ("term", "respondent", "colour")
FINDING_COLUMNS = ("severity", "file", "line", "participant", "term", "message")
FAULT_COLUMNS = ("file", "line", "column", "value", "problem", "remedy")


def write_study(study, paths):
    """
    Write the canonical files of a study.

    Parameters
    ----------
    study : felloe.validation.intake.study.Study
    paths : dict of str to path
        `settings`, `terms`, `sorts`, `register`, `names`, `decisions`, `colours`, `findings`.
    """
    write_json(
        paths["settings"],
        {
            "title": study.title,
            "edition": study.edition,
            "instruction": study.instruction,
            "populations": study.populations,
        },
    )
    write_table(paths["terms"], TERM_COLUMNS, study.terms)
    write_table(paths["names"], NAME_COLUMNS, study.names)
    write_table(paths["decisions"], DECISION_COLUMNS, study.decisions)
    write_table(paths["colours"], COLOUR_COLUMNS, study.colours)
    people = study.register
    rows = zip(people.participants, people.populations, people.minutes, strict=True)
    write_table(paths["register"], ("participant", "population", "minutes"), rows)
    terms = [row["term"] for row in study.terms]
    write_sorts(paths["sorts"], people.participants, terms, study.piles, study.positions)
    write_findings(paths["findings"], study.findings, people.participants, terms)


def write_sorts(path, participants, terms, piles, positions):
    """Write sorts in the long layout, by participant and term; an empty pile was not placed."""
    with open_atomic(path) as stream:
        stream.write("participant,term,pile,position\n")
        for name, row, places in zip(participants, piles.tolist(), positions.tolist(), strict=True):
            # identifiers and numbers need no quotes, so that millions of rows go fast
            stream.write(
                "".join(
                    f"{name},{term},{pile if pile != UNPLACED else ''},{place or ''}\n"
                    for term, pile, place in zip(terms, row, places, strict=True)
                )
            )


def write_findings(path, findings, participants, terms):
    """Write notes and warnings; whose value is a participant or a term is put in that column."""
    people, words = set(participants), set(terms)
    rows = [
        {
            "severity": finding.severity,
            "file": finding.file,
            "line": finding.line or None,
            "participant": finding.value if finding.value in people else "",
            "term": finding.value if finding.value in words else "",
            "message": f"{finding.column}: {finding.problem}"
            if finding.column
            else finding.problem,
        }
        for finding in findings
    ]
    write_table(path, FINDING_COLUMNS, rows)


def write_faults(path, faults):
    """Write every fault of a run, for those who mend them."""
    rows = ([getattr(fault, name) for name in FAULT_COLUMNS] for fault in faults)
    write_table(path, FAULT_COLUMNS, rows)


@dataclass(frozen=True)
class Received:
    """
    Everybody's sorts as they were validated, before screening.

    Attributes
    ----------
    sorts : Sorts
    minutes : (n_participants,) array of float
        nan where not given.
    positions : (n_participants, n_terms) array of int32
        0 where not given.
    """

    sorts: Sorts
    minutes: np.ndarray
    positions: np.ndarray


def read_received(sorts, register):
    """
    Read the canonical sorts and the register.

    Parameters
    ----------
    sorts, register : path

    Returns
    -------
    Received
    """
    people = read_table(register)
    participants = tuple(row["participant"] for row in people)
    minutes = np.array([float(row["minutes"] or "nan") for row in people])
    table = read_csv(sorts, "sorts.csv", ("participant", "term", "pile", "position"))
    shape = (len(participants), -1)
    piles = numbers(table["pile"], UNPLACED).astype(np.int16).reshape(shape)
    positions = numbers(table["position"], 0).astype(np.int32).reshape(shape)
    populations = tuple(row["population"] for row in people)
    # rows come by participant and term, so that terms appear in their order
    terms = tuple(table["term"].values)
    return Received(Sorts(participants, populations, terms, piles), minutes, positions)


def numbers(column, empty):
    """Return the whole numbers of a column, `empty` for empty cells."""
    return np.array([int(text or empty) for text in column.values])[column.codes]


def read_analysed(path):
    """Read the analysed sorts that `write_analysed` wrote."""
    with open(path, encoding="utf-8", newline="") as stream:
        header, *rows = csv.reader(stream)
    cells = [[int(text) if text else UNPLACED for text in row[2:]] for row in rows]
    piles = np.array(cells, dtype=np.int16).reshape(len(rows), len(header) - 2)
    return Sorts(
        tuple(row[0] for row in rows), tuple(row[1] for row in rows), Terms(header[2:]), piles
    )


def write_analysed(path, sorts):
    """Write analysed sorts; a term that was not placed is an empty cell."""
    rows = (
        [participant, population, *(None if pile == UNPLACED else pile for pile in piles)]
        for participant, population, piles in zip(
            sorts.participants, sorts.populations, sorts.piles.tolist(), strict=True
        )
    )
    ANALYSED.write(path, rows, sorts.terms)
