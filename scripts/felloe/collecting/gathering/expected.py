"""What was asked of whom: what every return is held against."""

import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from felloe.allocation.design_file import COLUMNS, design_of, read_design
from felloe.collecting.gathering.withdrawn import hash_of, read_withdrawn
from felloe.collecting.identity import Kind, hash_of_terms
from felloe.collecting.kit.consent import consent_name, read_consent
from felloe.collecting.kit.invited import COLUMNS as INVITED
from felloe.collecting.kit.invited import LANGUAGE
from felloe.collecting.kit.invited import NAME as INVITATIONS
from felloe.collecting.kit.issuing import KITS, read_given
from felloe.collecting.kit.record import NAME as NAME_OF_RECORD
from felloe.collecting.kit.record import Issued
from felloe.errors import Fault, StudyError
from felloe.validation.intake.folder import EXPECTED
from felloe.validation.intake.lexicon.left_out import LEFT_OUT, ids_of, read_left_out
from felloe.validation.intake.lexicon.vocabulary import check_terms
from felloe.validation.intake.raw.cells import has_columns, judge_person, report, report_repeated
from felloe.validation.intake.raw.csv_reader import read_csv
from felloe.validation.intake.sorts.people import check_participants
from felloe.validation.intake.sorts.sorting import codes_among, read_positions
from felloe.validation.intake.study_file import NAME, StudyFile, read_study_file
from felloe.validation.settings import Limits

TERMS = "terms.csv"


@dataclass(frozen=True)
class Expected:
    """
    What was asked of whom.

    Attributes
    ----------
    study, edition : str
    sha256 : str
        Of the lexicon, see `hash_of_terms`.
    labels : mapping of str to str
        Of every term that people were shown, in the study's own language, by id.
    populations : mapping of str to str
        Id to label, in the order declared.
    people : mapping of str to str
        Population of everybody who was invited, in sorted order.
    shown : mapping of str to dict of str to int
        For everybody who was issued terms: the place of each, from 1, as they lay before them; 0
        where the design does not say.
    dealt : mapping of str to tuple of str
        For everybody who was asked for colours: of which terms, as their kit says.
    timed : bool
        Whether the consent text says that the time taken is kept.
    limits : Limits
        How long wording may be.
    withdrawn : frozenset of str
        Hashes of those who withdrew, see `withdrawn.hash_of`.
    left_out : frozenset of str
        Terms among them that the study does not analyse: no table has them.
    """

    study: str
    edition: str
    sha256: str
    labels: Mapping[str, str]
    populations: Mapping[str, str]
    people: Mapping[str, str]
    shown: Mapping[str, Mapping[str, int]]
    dealt: Mapping[str, tuple[str, ...]]
    timed: bool
    limits: Limits
    withdrawn: frozenset[str]
    left_out: frozenset[str]

    def has_withdrawn(self, participant: str) -> bool:
        """Return whether somebody of this id withdrew."""
        return hash_of(self.study, participant) in self.withdrawn


def read_expected(study: str, folder: Path, settings: Mapping[str, Any]) -> Expected:
    """
    Read what was asked of whom.

    Parameters
    ----------
    study : str
        Its name in the settings.
    folder : Path
    settings : dict
        Resolved.

    Raises
    ------
    StudyError
        With every fault of `study.yaml`, `terms.csv`, `left_out.csv`, `invitations.csv`,
        `design.csv`, the consent text and the records of kits.
    """
    limits = Limits(**settings["intake"])
    header = read_study_file(folder / NAME, str(folder / NAME))
    analysed, of_terms = read_labels(folder / TERMS, limits)
    left_out, of_left_out = read_left_out(folder, analysed, limits)
    labels = {**analysed, **{row["term"]: row["label"] for row in left_out}}
    people, of_people = read_invited(folder / INVITATIONS, header)
    shown, of_design = read_shown(design_of(folder), labels)
    given, of_kits = read_given(folder / KITS)
    timed, of_consent = is_timed(folder, limits)
    of_orders = list(other_orders(design_of(folder), shown, given))
    faults = [*header.faults, *of_terms, *of_left_out, *of_people, *of_design, *of_orders]
    if faults := [*faults, *of_kits, *of_consent]:
        raise StudyError(faults)
    return Expected(
        study=study,
        edition=header.edition,
        sha256=hash_of_terms(labels),
        labels=labels,
        populations=header.populations,
        people=people,
        shown=shown,
        dealt={who: kits["colours"].order for who, kits in given.items() if "colours" in kits},
        timed=timed,
        limits=limits,
        withdrawn=read_withdrawn(folder),
        left_out=ids_of(left_out),
    )


def missing(path: Path, remedy: str) -> list[Fault]:
    """Return the fault of a file that is not there, if it is not."""
    if path.is_file():
        return []
    problem = "is no file" if os.path.lexists(path) else "the file is missing"
    return [Fault(str(path), problem=problem, remedy=remedy)]


def is_timed(folder: Path, limits: Limits) -> tuple[bool, list[Fault]]:
    """Return whether people were told that the time taken is kept, and the faults of that text."""
    if not (folder / consent_name()).is_file():  # asked in another way than by a kit
        return False, []
    told = read_consent(folder, longest=limits.longest_text)
    return told.consent.minutes, told.faults


def read_labels(path: Path, limits: Limits) -> tuple[dict[str, str], list[Fault]]:
    """Return the label of every term, and the faults of the lexicon."""
    columns = EXPECTED[TERMS]
    if faults := missing(path, f"Write it; its columns are: {', '.join(columns)}."):
        return {}, faults
    table = read_csv(path, str(path), columns)
    rows = check_terms(table, limits)
    return {row["term"]: row["label"] for row in rows}, table.faults


def read_invited(path: Path, header: StudyFile) -> tuple[dict[str, str], list[Fault]]:
    """Return the population of everybody who was invited, and the faults of the list."""
    columns = (*INVITED, LANGUAGE)
    if faults := missing(path, f"Write it; its columns are: {', '.join(columns)}."):
        return {}, faults
    table = read_csv(path, str(path), columns)
    register = check_participants(table, header.populations)
    return dict(zip(register.participants, register.populations, strict=True)), table.faults


def read_shown(
    path: Path, terms: Mapping[str, str]
) -> tuple[dict[str, dict[str, int]], list[Fault]]:
    """Return in which place everybody was shown which term, and the faults of the design."""
    if faults := missing(path, "`kit STUDY` writes it; returns are held against it."):
        return {}, faults
    table = read_design(path)
    if not has_columns(table, COLUMNS[:2], COLUMNS[2:]):
        return {}, table.faults
    report(table, "participant", judge_person)
    report_unknown_terms(path, table["term"].values, terms, table.faults)
    report_repeated(table, COLUMNS[:2], "the term for this participant")
    names = sorted(set(table["participant"].values))
    places = [0] * len(table)
    if COLUMNS[2] in table:
        places = read_positions(table, codes_among(table["participant"], names)).tolist()
    shown: dict[str, dict[str, int]] = {}
    rows = zip(table["participant"].texts(), table["term"].texts(), places, strict=True)
    for person, term, place in rows:
        shown.setdefault(person, {})[term] = place
    return shown, table.faults


def other_orders(
    path: Path,
    shown: Mapping[str, Mapping[str, int]],
    given: Mapping[str, Mapping[Kind, Issued]],
) -> Iterator[Fault]:
    """Tell people whose design is not the order of their kit: tallies count cards by it."""
    for person, places in shown.items():
        kit = given.get(person, {}).get("sort")
        if kit is None:
            continue
        order = {term: place for place, term in enumerate(kit.order, 1)}
        if set(order) != set(places) or any(
            at and at != order[term] for term, at in places.items()
        ):
            problem = f"is not what kit/{person}/{NAME_OF_RECORD} says that they were given"
            remedy = "Put the lines of this participant back: cards are counted by them."
            yield Fault(str(path), 0, "participant", person, problem, remedy)


def report_unknown_terms(
    path: Path, shown: list[str], terms: Mapping[str, str], faults: list[Fault]
) -> None:
    """Report terms of the design that the lexicon does not have."""
    for term in sorted(set(shown) - set(terms)) if terms else ():
        problem = "is no longer in terms.csv"
        remedy = f"Put it back, or its row into {LEFT_OUT}: people were shown it."
        faults.append(Fault(str(path), 0, "term", term, problem, remedy))
