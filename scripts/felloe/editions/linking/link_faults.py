"""What is wrong with a crosswalk once both editions' terms are known."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import PurePosixPath

from felloe.editions.linking.links import Link
from felloe.errors import Fault, nearest
from felloe.ground.files.tables import Row
from felloe.validation.relations import NEW, REDEFINED, RENAMED, RETIRED

FILE, TERMS = "crosswalk.csv", "terms.csv"
MOST = 15  # faults on one screen: with its cure each takes up to three lines of it
SAME_WORD = (
    "If it is the same word, give it its older id '{older}' in terms.csv; if its meaning changed, "
    "write redefined."
)
ANOTHER = (
    "If the row is about another older edition, name that study in a column older_study "
    "(config/README.md)."
)
SEVERAL = (
    "If it was called so in another older edition, write into crosswalk.csv what it was called in "
    "'{older}': a row with newer '{term}', relation renamed and older_study '{older}'."
)


@dataclass(frozen=True)
class Declared:
    """A link, its line in the study's own file, and whether the older study is named there."""

    link: Link
    line: int
    names_study: bool = False

    @classmethod
    def of(cls, rows: Iterable[Row], older_study: str) -> "list[Declared]":
        """Take from a study's `validation/crosswalk.csv` what is about one older study."""
        return [
            cls(
                Link(row["older"], row["newer"], row["relation"], row["reason"]),
                row["line"],
                bool(row["older_study"]),
            )
            for row in rows
            if row["older_study"] in ("", older_study)
        ]


@dataclass(frozen=True)
class Lexicons:
    """
    Two editions' terms, and what the newer study says of them.

    Attributes
    ----------
    older, newer : dict of str to dict
        Term to its row of the study's table of terms.
    older_study, newer_study : str
    crosswalk : str
        The newer study's crosswalk as its owner knows it.
    """

    older: Mapping[str, Row]
    newer: Mapping[str, Row]
    older_study: str
    newer_study: str
    crosswalk: str = FILE

    @property
    def terms(self) -> str:
        """The newer study's list of terms as its owner knows it."""
        return PurePosixPath(self.crosswalk).with_name(TERMS).as_posix()


def misspelt_studies(
    rows: Iterable[Row], studies: Collection[str], newer: str, file: str
) -> list[Fault]:
    """
    Return the rows about a study of which there is none, where another one has nearly its name.

    Parameters
    ----------
    rows : iterable of dict
        `validation/crosswalk.csv`.
    studies : collection of str
        Those of the settings; rows may be about others, which are compared with other settings.
    newer : str
        The study whose crosswalk it is.
    file : str
        Its name in messages.
    """
    others = [name for name in studies if name != newer]
    faults = []
    for row in rows:
        value = row["older_study"]
        close = nearest(value, others) if value and value not in others else None
        if close:
            remedy = f"Did you mean '{close}'?"
            problem = "is no study of the settings"
            faults.append(Fault(file, row["line"], "older_study", value, problem, remedy))
    return faults


def link_faults(lexicons: Lexicons, declared: Collection[Declared]) -> list[Fault]:
    """
    Hold a crosswalk, and `renamed_from`, against the older edition.

    Parameters
    ----------
    lexicons : Lexicons
    declared : collection of Declared
        Each by itself as it should be; see `validation.intake.crosswalk_rows`.

    Returns
    -------
    list of Fault
    """
    links = [each.link for each in declared]
    faults = [fault for each in declared for fault in row_faults(lexicons, each, links)]
    return [*faults, *former_faults(lexicons, links)]


def row_faults(lexicons: Lexicons, declared: Declared, links: Collection[Link]) -> Iterator[Fault]:
    """
    Yield what one row says that cannot be.

    An id in both editions is one term, unless rows tell of either what became of it: two words
    may change places.
    """
    link, older, newer = declared.link, lexicons.older, lexicons.newer
    has_past = {term for each in links for term in each.claimed if each.relation != NEW}
    has_heir = {term for each in links for term in each.older if each.relation != RETIRED}

    def fault(column: str, value: str, problem: str, remedy: str) -> Fault:
        return Fault(lexicons.crosswalk, declared.line, column, value, problem, remedy)

    for term in link.older:
        if term not in older:
            close = nearest(term, older)
            hint = "Name a term of it." if declared.names_study else f"Name a term of it. {ANOTHER}"
            remedy = f"Did you mean '{close}'?" if close else hint
            yield fault("older", term, f"is no term of '{lexicons.older_study}'", remedy)
        elif term in newer and not (
            term in link.claimed or (term in has_past and link.relation != RETIRED)
        ):
            yield fault("older", term, *still_there(link.relation, term, lexicons.newer_study))
    for term in link.claimed:
        told = term in has_heir and link.relation != NEW
        if term in older and not (term in link.older or told):
            problem = f"is a term of '{lexicons.older_study}' too, whose past the row leaves out"
            remedy = "Name it under older too, or give the newer term another id."
            if link.relation == NEW:
                problem = f"is no new term: '{lexicons.older_study}' has it"
                remedy = "Delete the row, or give the new term another id."
            yield fault("newer", term, problem, remedy)
    if link.is_one_to_one and link.older[0] in older:
        found = unchanged(link, older[link.older[0]], newer[link.newer[0]])
        if found:
            yield fault(*found)


def still_there(relation: str, term: str, study: str) -> tuple[str, str]:
    """Return (problem, remedy) of an older term that the newer edition still has."""
    if relation == RETIRED:
        problem = f"is retired, and '{study}' still has it"
        return problem, "Delete the row, or take the term out of terms.csv."
    problem = f"is still a term of '{study}', and the row says that others took its place"
    return problem, f"Name '{term}' under newer too, or take it out of terms.csv."


def unchanged(link: Link, was: Row, now: Row) -> tuple[str, str, str, str] | None:
    """Return column, value, problem and remedy if nothing changed though the row says so."""
    if link.relation == RENAMED and was["label"] == now["label"]:
        remedy = SAME_WORD.format(older=was["term"])
        problem = f"has the label '{now['label']}' as before, so nothing was renamed"
        return "newer", now["term"], problem, remedy
    alike = bool(was["definition"]) and same_wording(was, now) and same_reference(was, now)
    if link.relation == REDEFINED and alike and was["label"] == now["label"]:
        problem = (
            "has the same label, definition and reference in both editions, so nothing was "
            "redefined"
        )
        remedy = "Write the new definition or reference into terms.csv, or exact."
        return "newer", now["term"], problem, remedy
    return None


def same_wording(one: Row, other: Row) -> bool:
    """Return whether two terms are defined alike, apart from blanks."""
    return bool(one["definition"].split() == other["definition"].split())


def same_reference(one: Row, other: Row) -> bool:
    """Return whether two terms have the same reference material, apart from blanks."""
    return bool(one["reference"].split() == other["reference"].split())


def former_faults(lexicons: Lexicons, declared: Collection[Link]) -> Iterator[Fault]:
    """Yield what `renamed_from` says of terms that no row of the crosswalk explains."""
    explained = {term for link in declared for term in link.claimed}
    taken = {term for link in declared for term in link.older}
    for term in sorted(lexicons.newer):
        former = lexicons.newer[term]["renamed_from"]
        if not former or term in explained:
            continue
        problem = unfit_former(former, term, lexicons, taken)
        taken.add(former)
        if problem:
            another = SEVERAL.format(term=term, older=lexicons.older_study)
            remedy = f"Name the term's id there, or leave the cell empty. {another}"
            problem = f"{problem} (term '{term}')"
            yield Fault(lexicons.terms, 0, "renamed_from", former, problem, remedy)


def unfit_former(former: str, term: str, lexicons: Lexicons, taken: Collection[str]) -> str:
    """Return why an id cannot be what a term was called in the older edition, empty if it can."""
    if former not in lexicons.older:
        close = nearest(former, lexicons.older)
        hint = f"; did you mean '{close}'?" if close else ""
        return f"is no term of '{lexicons.older_study}'{hint}"
    if former in taken or (former in lexicons.newer and former != term):
        return f"is already the former id of another term of '{lexicons.newer_study}'"
    if term in lexicons.older and term != former and term not in taken:
        return f"leaves out what became of '{term}', a term of '{lexicons.older_study}' too"
    return ""
