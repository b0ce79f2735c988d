"""A checked study in one form, however it was handed in."""

from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import numpy as np

from felloe.errors import SCREEN_LINES, Fault, StudyError
from felloe.ground.arrays import Bools
from felloe.ground.files.records import write_json
from felloe.ground.files.tables import Row
from felloe.validation.intake.checked_study import Study
from felloe.validation.received import write_sorts
from felloe.validation.relations import REDEFINED, RENAMED
from felloe.validation.tables import (
    CROSSWALK,
    DECISIONS,
    FAULTS,
    FINDINGS,
    LABELS,
    NAMES,
    PICKS,
    PILE_WORDS,
    REGISTER,
    SECTORS,
    TERMS,
)


def write_study(study: Study, paths: Mapping[str, str | Path], smallest_cell: int = 1) -> None:
    """
    Write the canonical files of a study.

    Parameters
    ----------
    study : Study
    paths : mapping of str to path
        `settings`, `terms`, `sectors`, `sorts`, `register`, `names`, `decisions`, `colours`,
        `labels`, `pile_words`, `crosswalk` and `findings`.
    smallest_cell : int
        People that a number has to tell of.
    """
    write_json(
        paths["settings"],
        {
            "title": study.title,
            "edition": study.edition,
            "instruction": study.instruction,
            "populations": study.populations,
            "language": study.language,
            "sorts_sha256": study.sorts_sha256,
            **({"license": study.license} if study.license else {}),
            **({"cautions": list(study.cautions)} if study.cautions else {}),
            **shown_record(study.shown, smallest_cell),
            **({"left_out": list(study.left_out)} if study.left_out else {}),
        },
    )
    TERMS.write(paths["terms"], study.terms)
    SECTORS.write(paths["sectors"], sector_rows(study))
    NAMES.write(paths["names"], study.names)
    DECISIONS.write(paths["decisions"], study.decisions)
    PICKS.write(paths["colours"], study.colours)
    LABELS.write(paths["labels"], study.labels)
    CROSSWALK.write(paths["crosswalk"], study.crosswalk)
    PILE_WORDS.write(paths["pile_words"], study.pile_words)
    people = study.register
    rows = zip(people.participants, people.populations, people.minutes, strict=True)
    REGISTER.write(paths["register"], rows)
    terms = [row["term"] for row in study.terms]
    write_sorts(
        paths["sorts"], people.participants, terms, study.piles, study.positions, study.shown
    )
    FINDINGS.write(paths["findings"], finding_rows(study.findings, people.participants, terms))


def sector_rows(study: Study) -> list[Row]:
    """Return what the order around the circle takes of each term, renamed ones by any file."""
    former: dict[str, str] = {}
    for row in study.crosswalk:
        if row["relation"] in (RENAMED, REDEFINED) and row["older"] != row["newer"]:
            former.setdefault(row["newer"][0], row["older"][0])
    return [
        {
            **{name: row[name] for name in SECTORS.names},
            "renamed_from": row["renamed_from"] or former.get(row["term"], ""),
        }
        for row in study.terms
    ]


def shown_record(shown: Bools | None, least: int = 1) -> dict[str, Any]:
    """
    Return how many terms each participant was shown, where there is a design.

    The least and the largest number are those that `least` people or more had, or had beyond them;
    `but_a_few` says that somebody had fewer or more.
    """
    if shown is None:
        return {}
    numbers = np.sort(shown.sum(axis=1))
    median = float(np.median(numbers))
    beyond = min(least, (len(numbers) + 1) // 2)
    low, high = int(numbers[beyond - 1]), int(numbers[-beyond])
    told = {"least": low, "median": median, "largest": high}
    few = {"but_a_few": True} if numbers[0] < low or numbers[-1] > high else {}
    return {"partial": True, "terms_per_participant": {**told, **few}}


def finding_rows(
    findings: Iterable[Fault], participants: Iterable[str], terms: Iterable[str]
) -> list[Row]:
    """Return notes and warnings; whose value is a participant or a term is in that column."""
    people, words = set(participants), set(terms)
    return [
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


def write_faults(path: str | Path, faults: Iterable[Fault]) -> None:
    """Write every fault of a run, for those who mend them."""
    FAULTS.write(path, ([getattr(fault, name) for name in FAULTS.names] for fault in faults))


@contextmanager
def faults_listed(path: str, most: int = SCREEN_LINES) -> Iterator[None]:
    """
    List every fault of what is refused within; where nothing is, no list is left.

    Parameters
    ----------
    path : str
    most : int
        Faults that the message itself tells.
    """
    Path(path).unlink(missing_ok=True)
    try:
        yield
    except StudyError as error:
        write_faults(path, error.faults)
        raise StudyError(error.faults, path, most) from None
