"""What happened to each term, as notes of the crosswalk."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Protocol

from felloe.editions.correspondence import NO_CORRESPONDENCE, NONE
from felloe.editions.fates import COMMON
from felloe.editions.linking.links import MERGED, NEW, REDEFINED, RENAMED, RETIRED, SPLIT
from felloe.editions.words import class_label
from felloe.ground.files.tables import Row
from felloe.ground.language_tags import ENGLISH

TOLD = {
    RENAMED: "Renamed in edition {now}: '{was_label}' became '{label}'.",
    REDEFINED: "Defined anew in edition {now}.",
    SPLIT: "Split in edition {now}: '{was_label}' became {several}.",
    MERGED: "Merged in edition {now}: {several} became '{label}'.",
    NEW: "New in edition {now}.",
    RETIRED: "Retired in edition {now}.",
}
NO_HEIR = "No broader class is named: its class, '{name}', has no heir in edition {now}."

CLASSES_BY = (
    "Classes are mapped by the terms that both editions have one to one, and by nothing else: "
    "exact, the same of these terms; broad, all of them and more; narrow, some of them and no "
    "others; close, more than half of both; related, fewer, but more than chance gives. New, "
    "retired, split and merged terms are not asked. p is the share of random divisions in which "
    "any two classes share as improbable a number; above {level:g} it is no evidence of its own."
)
CLASS_NOTE = (
    "Class '{name}' of edition {now}: {mapping}. Of the terms that both editions have one to one, "
    "{older} here and {newer} there, they share {shared} (p = {p:.2g})."
)


def class_note(row: Row, edition: str) -> str:
    """Say what the mapping of a class rests on; `row` is one of `classes` of the comparison."""
    return CLASS_NOTE.format(
        name=row["newer_name"],
        now=edition,
        mapping=row["mapping"],
        shared=row["n_shared"],
        older=row["n_older"],
        newer=row["n_newer"],
        p=row["p"],
    )


class Known(Protocol):
    """What the notes need of an edition."""

    @property
    def edition(self) -> str:
        """What it is called."""

    @property
    def language(self) -> str:
        """Tag of the language of its labels."""

    @property
    def terms(self) -> Mapping[str, Row]:
        """Term to its row of the table of terms."""


Note = tuple[str, str, str, str]  # side (`older`, `newer`), term, text, tag of its language


def change_notes(rows: Iterable[Row], editions: tuple[Known, Known]) -> Iterator[Note]:
    """
    Yield what happened to each term of two editions, and why.

    Parameters
    ----------
    rows : iterable of dict
        The editions' `terms.csv`.
    editions : (Known, Known)
        The older one and the newer one.
    """
    older, newer = editions
    rows = list(rows)
    parts: dict[str, list[str]] = {row["term_older"]: [] for row in rows if row["change"] == SPLIT}
    for row in rows:
        if row["change"] == SPLIT:
            parts[row["term_older"]].append(row["label"])
    told: set[tuple[str, str]] = set()
    for row in rows:
        several = (
            [older.terms[term]["label"] for term in row["term_older"].split(";")]
            if row["change"] == MERGED
            else parts.get(row["term_older"], [])
        )
        text = change_note(row, (older.edition, newer.edition), several)
        if row["change"] == RETIRED and not row["heir"]:
            text = f"{text} {NO_HEIR.format(name=row['class_name_older'], now=newer.edition)}"
        for side, term in concerned(row):
            if (side, term) in told:
                continue
            told.add((side, term))
            if text:
                yield side, term, text, ENGLISH
            if row["reason"]:
                yield side, term, row["reason"], newer.language


def concerned(row: Row) -> list[tuple[str, str]]:
    """Return the terms, with their sides, that a row's note is about."""
    if row["change"] == RETIRED:
        return [("older", row["term_older"])]
    if row["change"] in (SPLIT, MERGED):
        was = [("older", term) for term in row["term_older"].split(";")]
        return [*was, ("newer", row["term"])]
    return [("newer", row["term"])]


def change_note(row: Row, editions: tuple[str, str], several: Iterable[str] = ()) -> str:
    """
    Say what happened to a term.

    Parameters
    ----------
    row : dict
        Of the editions' `terms.csv`.
    editions : (str, str)
        What the older and the newer edition are called.
    several : iterable of str
        Labels of the terms that it was split into or merged from.

    Returns
    -------
    str
        Empty if nothing happened, or nothing can be said.
    """
    older, edition = editions
    notes = []
    if row["change"] in TOLD:
        named = ", ".join(f"'{label}'" for label in several)
        labels = {"was_label": row["label_older"], "label": row["label"], "several": named}
        notes.append(TOLD[row["change"]].format(now=edition, **labels))
    if row["change"] in COMMON and row["migration"] not in (NONE, NO_CORRESPONDENCE):
        was = class_label(older, row["class_name_older"])
        now = class_label(edition, row["class_name_newer"])
        notes.append(f"Another class in edition {edition} ({row['migration']}): {was} to {now}.")
    return " ".join(notes)
