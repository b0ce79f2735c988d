"""What two runs' differences amount to for a comparison of editions: indices, grades of terms."""

import csv
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from felloe.audit.differences import NOW, WAS
from felloe.audit.pair_changes import (
    GradeChange,
    IndexChange,
    PairEffects,
    Standing,
    Value,
    VerdictChange,
)
from felloe.audit.reading import Texts, texts_of
from felloe.editions.correspondence import NONE
from felloe.editions.page import QUOTE
from felloe.editions.verdict import verdict
from felloe.editions.verdict_words import told
from felloe.ground.files.numbers import shown
from felloe.ground.files.records import read_json

COMPARISON, TERMS = "comparison.json", "terms.csv"
TIMELINE, PATHS = "timeline.json", "timeline.csv"
NEEDED = ("term", "change", "migration", "relation", "class_name_older", "class_name_newer")
PATH_NEEDED = ("label", "surest", "moves")
FOUND = "correspondence.found"
INDICES = (  # keys of the record, in the order in which a reader needs them
    FOUND,
    "tiers.published.class.adjusted_rand",
    "migrations.robust",
    "migrations.possible",
    "migrations.noise",
    "migrations.moved",
    "migrations.moved_by_decision",
    "migrations.no_correspondence",
    "tiers.published.class.n_older",
    "tiers.published.class.n_newer",
    "tiers.published.class.adjusted_mutual_information",
    "tiers.published.class.variation_of_information",
    "tiers.published.subclass.adjusted_rand",
    "tiers.data_only.class.adjusted_rand",
    "correspondence.p",
    "corrected_r.corrected",
    "corrected_r.low",
    "corrected_r.high",
    "mantel.pearson.r",
    "mantel.spearman.r",
    "label_permutation.p_adjusted",
    "label_permutation.p_matched",
    "placed_differently.named",
    "trees.cophenetic_correlation",
    "trees.bakers_gamma",
    "trees.robinson_foulds_share",
    "order.uniform_margins",
    "maps.procrustes_m2",
    "reliability.older",
    "reliability.newer",
    "terms.common",
    "terms.kept",
    "terms.renamed",
    "terms.redefined",
    "terms.split",
    "terms.split_into",
    "terms.merged_from",
    "terms.merged",
    "terms.retired",
    "terms.new",
    "noise.older.tiers.data_only.class.adjusted_rand.median",
    "noise.newer.tiers.data_only.class.adjusted_rand.median",
    "noise.older.migrations.moved.median",
    "noise.newer.migrations.moved.median",
    "timeline.paths.number",
    "timeline.paths.moved",
    "timeline.paths.robust",
    "timeline.paths.possible",
    "timeline.paths.noise",
    "timeline.paths.several",
    "timeline.entropy.editions",
)


@dataclass(frozen=True)
class PairOutcome:
    """
    A comparison of editions, or a timeline, as one run has it.

    Attributes
    ----------
    record : dict
        `comparison.json`, and `timeline.json` under `timeline`.
    rows : list of dict
        Of `terms.csv`.
    paths : list of dict
        Of `timeline.csv`.
    unread : tuple of str
        What is not there, or can not be read.
    """

    record: Mapping[str, Any] = field(default_factory=dict)
    rows: tuple[Texts, ...] = ()
    paths: tuple[Texts, ...] = ()
    unread: tuple[str, ...] = ()

    @property
    def by_term(self) -> dict[tuple[str, str], Texts]:
        """The rows by the older and the newer id; a term that was split has several."""
        return {(row.get("term_older", ""), row["term"]): row for row in self.rows}

    def value(self, key: str) -> Value:
        """Return what the record holds under a dotted key, None if there is no plain value."""
        found: Any = self.record
        for name in key.split("."):
            found = found.get(name) if isinstance(found, Mapping) else None
        return found if isinstance(found, (bool, int, float, str)) else None


def read_pair(folder: Path, names: Collection[str] = (COMPARISON, TERMS)) -> PairOutcome:
    """
    Read a comparison of editions, a timeline, or both; what is missing or bad is named.

    Parameters
    ----------
    folder : Path
    names : collection of str
        Files to read, of `COMPARISON`, `TERMS`, `TIMELINE`, `PATHS`.

    Returns
    -------
    PairOutcome
    """
    records: dict[str, Mapping[str, Any]] = {}
    tables: dict[str, tuple[Texts, ...]] = {}
    # a term that was split stands there several times, so its column alone may repeat
    columns = {TERMS: ("change", *NEEDED), PATHS: ("path", *PATH_NEEDED)}
    unread = []
    for name in names:
        try:
            if name in columns:
                tables[name] = tuple(texts_of(folder / name, columns[name]))
            else:
                read = read_json(folder / name)
                records[name] = read if isinstance(read, Mapping) else {}
        except (OSError, ValueError, RecursionError, csv.Error):
            unread.append(name)
    record = {**records.get(COMPARISON, {}), "timeline": records.get(TIMELINE)}
    return PairOutcome(record, tables.get(TERMS, ()), tables.get(PATHS, ()), tuple(unread))


def read_pairs(was: Path, now: Path) -> tuple[PairOutcome, PairOutcome] | None:
    """Read what two folders tell of editions; None where neither has a comparison or timeline."""
    kinds = {COMPARISON: (COMPARISON, TERMS), TIMELINE: (TIMELINE, PATHS)}
    names = [
        name
        for record, files in kinds.items()
        if (was / record).is_file() or (now / record).is_file()
        for name in files
    ]
    return (read_pair(was, names), read_pair(now, names)) if names else None


def pair_effects(was: PairOutcome, now: PairOutcome) -> PairEffects:
    """
    Say what two runs' differences amount to for a comparison of editions.

    Parameters
    ----------
    was, now : PairOutcome

    Returns
    -------
    PairEffects
        Without what one of them does not tell.
    """
    values = [
        IndexChange(key, was.value(key), now.value(key))
        for key in INDICES
        if (was.value(key), now.value(key)) != (None, None)
    ]
    before, after = was.by_term, now.by_term
    roads = [{row["path"]: row for row in one.paths} for one in (was, now)]
    return PairEffects(
        verdicts=tuple(verdicts(was.record, now.record)),
        indices=tuple(one for one in values if one.was != one.now),
        n_indices=len(values),
        grades=tuple(grades(before, after)),
        paths=tuple(path_changes(roads[0], roads[1])),
        n_paths=len(set(roads[0]) & set(roads[1])),
        n_terms=len(set(before) & set(after)),
        terms_was=tuple(label(before[key]) for key in sorted(set(before) - set(after))),
        terms_now=tuple(label(after[key]) for key in sorted(set(after) - set(before))),
        lost=(was.value(FOUND), now.value(FOUND)) == (True, False),
        found=(was.value(FOUND), now.value(FOUND)) == (False, True),
        unread=(*(f"{WAS}: {path}" for path in was.unread), *(f"{NOW}: {p}" for p in now.unread)),
    )


def verdicts(was: Mapping[str, Any], now: Mapping[str, Any]) -> Iterator[VerdictChange]:
    """Yield the sentences of the verdict that are not the same."""
    before, after = sentences(was), sentences(now)
    for about in before if before else after:
        one, other = before.get(about, ""), after.get(about, "")
        if one != other:
            yield VerdictChange(about, one, other)


def sentences(record: Mapping[str, Any]) -> dict[str, str]:
    """Return the verdict by what it is about; nothing if the record does not hold enough for it."""
    outcome = PairOutcome(record)
    try:
        said = told(verdict(record))
    except (KeyError, TypeError, AttributeError):  # of an older version, or edited
        return {}
    return {
        one.about: QUOTE.sub(lambda quote: filled(outcome, *quote.groups()), one.sentence)
        for one in said
    }


def filled(outcome: PairOutcome, key: str, style: str) -> str:
    """Return a value that a sentence quotes as a reader sees it."""
    return shown(outcome.value(key), "plain" if style == "text" else style)


def grades(
    before: Mapping[tuple[str, str], Texts], after: Mapping[tuple[str, str], Texts]
) -> Iterator[GradeChange]:
    """Yield the terms of which the two runs do not tell the same."""
    for key in sorted(set(before) & set(after), key=lambda key: (key[1], key[0])):
        one, other = standing(before[key]), standing(after[key])
        if one.code != other.code:
            yield GradeChange(label(after[key]), one, other)


def path_changes(before: Mapping[str, Texts], after: Mapping[str, Texts]) -> Iterator[GradeChange]:
    """Yield the paths through three editions and more of which the runs tell other moves."""
    for path in sorted(set(before) & set(after)):
        one, other = before[path], after[path]
        if (one["surest"], one["moves"]) != (other["surest"], other["moves"]):
            yield GradeChange(
                other["label"] or path,
                *(Standing(f"path_{row['surest']}", "", "") for row in (one, other)),
            )


def standing(row: Texts) -> Standing:
    """
    Return what became of a term: its grade, or how its classes correspond.

    A term that stands outside the indices, as a new or a split one, has its own fate.
    """
    code = row["migration"] if row["migration"] not in ("", NONE) else row["relation"]
    return Standing(
        code or f"term_{row['change']}", row["class_name_older"], row["class_name_newer"]
    )


def label(row: Texts) -> str:
    """Return the wording of a term, its id if there is none."""
    return row.get("label") or row["term"]
