"""`crosswalk.csv` by itself: how terms stand to those of the older edition, and why."""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from felloe.errors import nearest
from felloe.ground.files.tables import Row
from felloe.validation.intake.lexicon.vocabulary import Known, texts
from felloe.validation.intake.raw.cells import (
    Judge,
    Verdict,
    has_columns,
    judge_identifier,
    judge_text,
    note_dangerous,
    report,
    unknown_id,
)
from felloe.validation.intake.raw.raw_table import RawTable
from felloe.validation.relations import (
    EXACT,
    MERGED,
    NEW,
    REASONED,
    REDEFINED,
    RELATIONS,
    RENAMED,
    RETIRED,
    SPLIT,
    SUGGESTED,
)
from felloe.validation.settings import Limits

CROSSWALK = "crosswalk.csv"
COLUMNS = ("older", "newer", "relation", "reason")
OPTIONAL = ("older_study",)
ONE, SEVERAL, NONE, SOME, ANY = "one", "two or more", "no", "one or more", "any number of"
ENOUGH: dict[str, Callable[[int], bool]] = {
    ONE: lambda n: n == 1,
    SEVERAL: lambda n: n >= 2,
    NONE: lambda n: n == 0,
    SOME: lambda n: n >= 1,
    ANY: lambda n: True,
}
SHAPES = {  # how many older and how many newer terms a row of each relation names
    EXACT: (ONE, ONE),
    RENAMED: (ONE, ONE),
    REDEFINED: (ONE, ONE),
    SPLIT: (ONE, SEVERAL),
    MERGED: (SEVERAL, ONE),
    RETIRED: (SOME, ANY),
    NEW: (NONE, SOME),
}
NONE_NAMED = {  # what to write where a row names no term that it needs
    "older": "Name the older term; a newer one without an older one is new.",
    "newer": "Name the newer term; an older one without a newer one is retired.",
}
PARTED = "Terms that are not one to one are split or merged."
INSTEAD = {  # what to write where it names too few or too many
    **{(each, side): PARTED for each in (EXACT, RENAMED, REDEFINED) for side in NONE_NAMED},
    (SPLIT, "older"): "Write a row for each older term, with the newer ones that it became.",
    (SPLIT, "newer"): (
        "Name every newer term, joined by ';'; with a single one it is renamed or redefined."
    ),
    (MERGED, "older"): (
        "Name every older term, joined by ';'; with a single one it is renamed or redefined."
    ),
    (MERGED, "newer"): "Write a row for each newer term, with the older ones that became it.",
    (RETIRED, "older"): "Name the older term; under newer may stand what to use instead.",
    (NEW, "older"): "Leave older empty; a term that has an older one is renamed, split or merged.",
    (NEW, "newer"): "Name the new term.",
}
OTHER_JOINS = re.compile(r"\s*[,;|/+&\n]\s*")  # signs of which no id has one
WHY = "Write in a few words why, for those who used the older word."


@dataclass(frozen=True)
class Said:
    """One row of the table, its cells taken apart; `study` is empty where a row names none."""

    line: int
    older: tuple[str, ...]
    newer: tuple[str, ...]
    relation: str
    reason: str
    study: str

    @property
    def claimed(self) -> tuple[str, ...]:
        """The newer terms whose past the row tells; what is to be used instead is another's."""
        return () if self.relation == RETIRED else self.newer


def check_crosswalk(
    table: RawTable, terms: Known, limits: Limits, former: Mapping[str, str]
) -> list[Row]:
    """
    Check `crosswalk.csv` as far as the newer edition alone can tell.

    Parameters
    ----------
    table : RawTable
    terms : collection of str or None
        The study's own terms; None where their list could not be read.
    limits : Limits
    former : dict of str to str
        Term to `renamed_from` of `terms.csv`, where it has one.

    Returns
    -------
    list of dict
        In the order of the file.
    """
    if not has_columns(table, COLUMNS, OPTIONAL):
        return []
    report(table, "relation", judge_relation)
    remedy = "Name terms of terms.csv, joined by ';'."
    judges = {"older": judge_identifier, "newer": unknown_id(terms, "term", remedy)}
    for column, judge in judges.items():
        table.pass_over(column, report(table, column, each_of(judge)))
    report(table, "reason", judge_text(limits.longest_text, lines=True))
    note_dangerous(table, "reason")
    if "older_study" in table:
        report(table, "older_study", lambda value: judge_identifier(value) if value else None)
    said = list(rows_said(table))
    for row in said:
        check_row(table, row)
        if not row.study:  # what another study called it, renamed_from does not say
            check_former(table, row, former)
    for study in dict.fromkeys(row.study for row in said):
        check_claims(table, [row for row in said if row.study in ("", study)], study)
    return [
        {
            "older_study": row.study,
            "older": row.older,
            "newer": row.newer,
            "relation": row.relation,
            "reason": row.reason,
            "line": row.line,
        }
        for row in said
    ]


def ids_in(cell: str) -> tuple[str, ...]:
    """Return the ids that a cell names, joined by `;`."""
    return tuple(name.strip() for name in cell.split(";")) if cell else ()


def each_of(judge: Judge) -> Judge:
    """Return a judge of a cell that holds any number of ids, each once, joined by `;`."""

    def judge_ids(value: str) -> Verdict:
        if otherwise := otherwise_joined(value):
            return otherwise
        names = ids_in(value)
        verdicts = ((name, judge(name)) for name in names)
        name, verdict = next(((name, found) for name, found in verdicts if found), ("", None))
        if verdict:
            problem, remedy = verdict
            return (f"'{name}': {problem}" if len(names) > 1 else problem), remedy
        twice = next((a for a, b in pairwise(sorted(names)) if a == b), None)
        return (f"names '{twice}' twice", "Name it once.") if twice else None

    return judge_ids


def otherwise_joined(value: str) -> Verdict:
    """Return (problem, remedy) of several ids that are joined by another sign than `;`."""
    names = OTHER_JOINS.split(value)
    if len(names) == value.count(";") + 1 or any(map(judge_identifier, names)):
        return None
    return "joins ids by another sign than ';'", f"Write '{';'.join(names)}'."


def judge_relation(value: str) -> Verdict:
    """Return (problem, remedy) unless the cell is a relation."""
    if value in RELATIONS:
        return None
    close = nearest(value.casefold(), RELATIONS)
    remedy = f"Did you mean '{close}'?" if close else f"Write one of: {', '.join(RELATIONS)}."
    return "is no relation", remedy


def rows_said(table: RawTable) -> Iterator[Said]:
    """Yield the rows whose relation is known, with their cells taken apart."""
    columns = (texts(table, name) for name in (*COLUMNS, *OPTIONAL))
    cells = zip(table.lines.tolist(), *columns, strict=True)
    for line, older, newer, relation, reason, study in cells:
        if relation in RELATIONS:
            yield Said(line, ids_in(older), ids_in(newer), relation, reason, study)


def check_row(table: RawTable, row: Said) -> None:
    """Report a row that contradicts its own relation, or lacks the reason that it needs."""
    shape, named = SHAPES[row.relation], (row.older, row.newer)
    for column, wanted, names in zip(("older", "newer"), shape, named, strict=True):
        if not ENOUGH[wanted](len(names)):
            problem = f"'{row.relation}' takes {wanted} {column} term{'s' * (wanted != ONE)}"
            problem += f", the row names {len(names)}"
            remedy = INSTEAD[row.relation, column]
            if not names and row.relation not in (RETIRED, NEW):
                remedy = NONE_NAMED[column]
            table.fault(row.line, column, ";".join(names), problem, remedy)
    same, read = row.older == row.newer, (row.line, "older") not in table.told
    if row.relation == EXACT and read and not same and len(row.older) == len(row.newer) == 1:
        problem = f"is not the older id '{row.older[0]}', so the two are not exact"
        remedy = "Write renamed (another word) or redefined (another meaning)."
        table.fault(row.line, "newer", row.newer[0], problem, remedy)
    if row.relation == RENAMED and same and row.newer:
        problem = "is the older id too, so nothing was renamed"
        remedy = "Write exact, or redefined if the meaning changed, or delete the row."
        table.fault(row.line, "newer", row.newer[0], problem, remedy)
    if row.reason.casefold() == SUGGESTED:
        problem = "is what stands where nobody has decided yet"
        remedy = f"{WHY} Or leave it empty: {RENAMED}, {EXACT} and {NEW} need no reason."
        table.fault(row.line, "reason", row.reason, problem, remedy)
    elif not row.reason and row.relation in REASONED:
        table.fault(row.line, "reason", "", f"is empty, and '{row.relation}' needs one", WHY)


def check_former(table: RawTable, row: Said, former: Mapping[str, str]) -> None:
    """Report a row that says something else than `renamed_from` of the same term."""
    remedy = "Mend the row, or empty renamed_from in terms.csv: one of them is wrong."
    for term in row.claimed:
        if term in former and former[term] not in row.older:
            problem = f"renamed_from in terms.csv says that '{term}' was '{former[term]}'"
            table.fault(row.line, "older", ";".join(row.older), problem, remedy)
    heirs = {was: term for term, was in former.items()}
    for was in row.older:
        if was in heirs and heirs[was] not in row.claimed:
            problem = f"renamed_from in terms.csv says that '{was}' became '{heirs[was]}'"
            table.fault(row.line, "newer", ";".join(row.newer), problem, remedy)


def check_claims(table: RawTable, said: Iterable[Said], study: str) -> None:
    """Report an id that two rows explain; `study` is the older one that they are about."""
    seen: dict[tuple[str, str], Said] = {}
    for row in said:
        for column, names in (("older", row.older), ("newer", row.claimed)):
            for name in names:
                first = seen.setdefault((column, name), row)
                if first is row or (study and not (row.study or first.study)):
                    continue  # told of the rows that are about every study
                problem = (
                    f"is explained twice: {first.relation} on line {first.line}, "
                    f"{row.relation} here"
                )
                remedy = "Keep one row for each id; a term that went several ways is split."
                table.fault(row.line, column, name, problem, remedy)
