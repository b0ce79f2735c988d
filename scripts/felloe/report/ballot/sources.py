"""What the ballot is told from, read once."""

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from felloe.clustering.tables import CLASSES
from felloe.clustering.tree_files import read_distances
from felloe.ground.arrays import Floats, Ints
from felloe.ground.distances import Distances
from felloe.ground.files.records import read_json
from felloe.ground.files.tables import Row
from felloe.ground.people.counts import Counts
from felloe.ground.people.sorts import POOLED
from felloe.ground.squares import condensed
from felloe.matrices.tables import read_all_counts
from felloe.report.chart import Record, chart_terms, read_chart
from felloe.sensitivity.tables import QUESTIONS
from felloe.sensitivity.tables import TERMS as HELD
from felloe.tiers.tables import DATA_ONLY, DECISIONS, GROUPS, MOVES, PUBLISHED, REGROUPINGS, WORDS
from felloe.validation.ballot_form import Origin
from felloe.validation.tables import DECISIONS as HANDED_IN
from felloe.validation.tables import LABELS, NAMES

TIERS = ("class", "subclass")


@dataclass(frozen=True)
class Sources:
    """
    What is known when questions are put.

    Attributes
    ----------
    study : str
    chart : dict
        `chart.json`.
    sorts : str
        Hash of all sorts.
    populations : mapping of str to str
        Labels by id.
    questions, published, groups, moves, regroupings, replayed, word_candidates : list of dict
        Rows of tables of `tiers/`.
    decisions, names, labels : list of dict
        Rows of `validation/decisions.csv`, `names.csv`, `labels.csv`.
    of_data : mapping of str to dict
        Rows of `data_only.csv`, by term.
    held : mapping of str to dict
        Rows of `sensitivity/terms.csv`.
    supports : mapping of str to dict
        Rows of `clustering/classes.csv`.
    distances : Distances
    counts : mapping of str to Counts
        By population.
    enough : float
        Share of the analyses under which a firm term is asked about.
    in_parts : bool
        Whether everybody was shown a part of the terms.
    """

    study: str
    chart: Record
    sorts: str
    populations: Mapping[str, str]
    questions: list[Row]
    published: list[Row]
    groups: list[Row]
    moves: list[Row]
    regroupings: list[Row]
    replayed: list[Row]
    word_candidates: list[Row]
    decisions: list[Row]
    names: list[Row]
    labels: list[Row]
    of_data: Mapping[str, Row]
    held: Mapping[str, Row]
    supports: Mapping[str, Row]
    distances: Distances
    counts: Mapping[str, Counts]
    enough: float
    in_parts: bool = False

    @cached_property
    def place(self) -> dict[str, Row]:
        """Where each term is published."""
        return {row["term"]: row for row in self.published}

    @cached_property
    def label(self) -> dict[str, str]:
        """The wording of each term."""
        return {term["id"]: term["label"] for _, _, term in chart_terms(self.chart, True)}

    @cached_property
    def group(self) -> dict[tuple[str, str], Row]:
        """The published groups, by tier and id."""
        return {(row["tier"], row["id"]): row for row in self.groups if row["chart"] == "published"}

    @cached_property
    def members(self) -> dict[tuple[str, str], list[str]]:
        """The terms of each published group, the most central first."""
        found: dict[tuple[str, str], list[str]] = {}
        for row in self.published:
            for tier in TIERS:
                found.setdefault((tier, row[tier]), []).append(row["term"])
        return {key: self.by_centre(terms) for key, terms in found.items()}

    def left_behind(self, term: str) -> dict[str, list[str]]:
        """Return the terms that the data put into the groups of one, and that nobody moved."""
        own = self.of_data[term]
        return {
            tier: self.by_centre(
                [
                    one
                    for one, row in self.of_data.items()
                    if row[tier] == own[tier]
                    and one != term
                    and self.place[one]["status"] != "moved"
                ]
            )
            for tier in TIERS
        }

    def by_centre(self, terms: Sequence[str]) -> list[str]:
        """Return terms of a group, the one with the least mean distance to the others first."""
        if not terms:
            return []
        places = self.distances.terms.places(terms)
        means = np.round(self.distances.D[np.ix_(places, places)].sum(axis=1), 12)
        return [terms[at] for at in np.argsort(means, kind="stable")]

    def similarity(self, term: str, others: Sequence[str]) -> Floats:
        """Return the share of people who put a term together with each of others."""
        S = self.distances.similarity
        row: Floats = S[self.distances.terms.index(term), self.distances.terms.places(others)]
        return row

    def leaning(self, population: str, term: str, group: str) -> float:
        """Return the mean share of a population that puts a term with the others of a class."""
        together, both = self.counted(population, term, group)
        if self.in_parts:  # of a pair that nobody saw nothing is known
            together, both = together[both > 0], both[both > 0]
        return float((together / np.maximum(both, 1)).mean()) if len(both) else float("nan")

    def counted(self, population: str, term: str, group: str) -> tuple[Ints, Ints]:
        """Return how many put a term together with each other of a class, and placed both."""
        counts = self.counts[population]
        others = [one for one in self.members["class", group] if one != term]
        at, places = counts.terms.index(term), counts.terms.places(others)
        return counts.together[at, places], counts.both[at, places]

    def observers(self, population: str) -> float:
        """Return how many of a population placed both terms of a pair, in the median."""
        return float(np.median(condensed(self.counts[population].both)))

    @cached_property
    def origin(self) -> Origin:
        """What a ballot is made from: its chart by where terms stand, how firmly, and names."""
        columns = ("term", "class", "subclass", "class_name", "subclass_name", "status")
        lines = ["\x1f".join(str(row[name]) for name in columns) for row in self.published]
        return Origin(
            self.study,
            str(self.chart["edition"]),
            hashlib.sha256("\n".join(lines).encode()).hexdigest(),
            self.sorts,
        )


def read_sources(paths: Mapping[str, Any], study: str, enough: float) -> Sources:
    """
    Read what the ballot is told from.

    Parameters
    ----------
    paths : mapping of str to path
        Files by the names of the rule's inputs; `together` and `both` are lists, by `populations`.
    study : str
    enough : float

    Returns
    -------
    Sources
    """
    about = read_json(paths["about"])
    counts = read_all_counts(paths["populations"], paths["together"], paths["both"])
    counts.pop(POOLED, None)
    return Sources(
        study=study,
        chart=read_chart(paths["chart"]),
        sorts=about["sorts_sha256"],
        populations=about["populations"],
        questions=QUESTIONS.read(paths["questions"]),
        published=PUBLISHED.read(paths["published"]),
        groups=GROUPS.read(paths["groups"]),
        moves=MOVES.read(paths["moves"]),
        regroupings=REGROUPINGS.read(paths["other_classes"]),
        replayed=DECISIONS.read(paths["decided"]),
        word_candidates=WORDS.read(paths["word_candidates"]),
        decisions=HANDED_IN.read(paths["decisions"]),
        names=NAMES.read(paths["names"]),
        labels=LABELS.read(paths["labels"]),
        of_data={row["term"]: row for row in DATA_ONLY.read(paths["data_only"])},
        held={row["term"]: row for row in HELD.read(paths["held"])},
        supports={row["class"]: row for row in CLASSES.read(paths["class_support"])},
        distances=read_distances(paths["distances"]),
        counts=dict(sorted(counts.items())),
        enough=enough,
        in_parts="partial" in about,
    )
