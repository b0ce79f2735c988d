"""What two runs' differences amount to for a comparison of editions: indices, grades of terms."""

from collections.abc import Iterator, Mapping
from typing import Any

from felloe.audit.differences import NOW, WAS
from felloe.audit.pair_changes import (
    GradeChange,
    IndexChange,
    PairEffects,
    Standing,
    VerdictChange,
)
from felloe.audit.pair_reading import PairOutcome
from felloe.audit.reading import Texts
from felloe.editions.correspondence import NONE
from felloe.editions.page import QUOTE
from felloe.editions.verdict import verdict
from felloe.editions.verdict_words import told
from felloe.ground.files.numbers import shown

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
    "terms.merged",
    "terms.merged_into",
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
