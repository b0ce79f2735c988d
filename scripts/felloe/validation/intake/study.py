"""A whole study: its files read, checked one by one and against one another."""

from collections.abc import Callable, Iterable, Sequence
from functools import partial
from pathlib import Path

import numpy as np

from felloe.errors import Fault, StudyError
from felloe.ground.arrays import Array, Bools
from felloe.ground.files.tables import Row
from felloe.validation.ballot_form import BALLOT, sorts_hash
from felloe.validation.intake.ballots.ballot import read_ballot
from felloe.validation.intake.ballots.ballot_merging import Merging
from felloe.validation.intake.ballots.ballot_rows import FILE as BALLOT_FILE
from felloe.validation.intake.checked_study import Study
from felloe.validation.intake.folder import FolderReader
from felloe.validation.intake.lexicon.crosswalk_rows import CROSSWALK, check_crosswalk
from felloe.validation.intake.lexicon.languages import LABELS_FILE
from felloe.validation.intake.lexicon.left_out import (
    LEFT_OUT,
    check_left_out,
    ids_of,
    without_terms,
)
from felloe.validation.intake.lexicon.named_piles import (
    PILE_WORDS,
    check_pile_words,
    numbered_words,
)
from felloe.validation.intake.lexicon.translations import check_labels
from felloe.validation.intake.lexicon.vocabulary import (
    Known,
    check_colours,
    check_decisions,
    check_names,
    check_terms,
)
from felloe.validation.intake.raw.raw_table import RawTable
from felloe.validation.intake.sorts.across import (
    check_groups,
    check_sizes,
    incomplete_sorts,
    never_together_placed,
    sent_from_two_populations,
    unused_participants,
)
from felloe.validation.intake.sorts.design import Design, check_design
from felloe.validation.intake.sorts.parts import DESIGN, in_parts
from felloe.validation.intake.sorts.people import Register, check_participants
from felloe.validation.intake.sorts.sorting import Placements, check_sorts, numbered
from felloe.validation.intake.study_file import NAME, StudyFile, read_study_file
from felloe.validation.protocol_record import PROTOCOL, protocol_faults
from felloe.validation.settings import Limits

Check = Callable[[RawTable, Known, Limits], list[Row]]
OPTIONAL_TABLES: dict[str, Check] = {
    "names.csv": check_names,
    "decisions.csv": check_decisions,
    "colours.csv": check_colours,
}


def read_study(
    folder: str | Path,
    limits: Limits,
    shown: str = "",
    identical_from: int | None = None,
    name: str = "",
    most_unseen: float = 0.0,
    crosswalk: str | None = None,
) -> Study:
    """
    Read and check a study's folder.

    Parameters
    ----------
    folder : str or Path
    limits : Limits
    shown : str
        The folder as its owner knows it, put before file names in messages.
    identical_from : int, optional
        Terms from which on the same piles are evidence of a submission sent twice; without it
        nobody looks for what two populations sent.
    name : str
        Of the study in the settings, so that a ballot of another one is told.
    most_unseen : float
        Largest share of pairs of terms that nobody of a population may have placed, where
        everybody was shown some terms.

    crosswalk : str, optional
        File of the folder that is read in place of `crosswalk.csv` or `.xlsx`.

    Returns
    -------
    Study

    Raises
    ------
    StudyError
        With every fault of every file.
    """
    if not Path(folder).is_dir():
        problem = "the study's folder is missing"
        remedy = "Make the folder, or mend its path in the settings."
        raise StudyError([Fault(shown or str(folder), problem=problem, remedy=remedy)])
    reader = StudyReader(Path(folder), limits, identical_from, name, most_unseen)
    if crosswalk is not None:
        reader.instead[CROSSWALK] = crosswalk
    study = reader.study()
    if reader.faults or study is None:
        prefix = f"{shown}/" if shown else ""
        raise StudyError(
            [
                Fault(prefix + f.file, f.line, f.column, f.value, f.problem, f.remedy)
                for f in dict.fromkeys(reader.faults)
            ]
        )
    return study


class StudyReader(FolderReader):
    """Reads one folder and gathers faults and notes on the way."""

    def __init__(
        self,
        folder: Path,
        limits: Limits,
        identical_from: int | None,
        name: str = "",
        most_unseen: float = 0.0,
    ) -> None:
        super().__init__(folder)
        self.name = name
        self.limits = limits
        self.identical_from = identical_from
        self.most_unseen = most_unseen
        self.handed_in: RawTable | None = None  # the sorts as they stand, as soon as they are read

    def study(self) -> Study | None:
        """Return the study, or None if anything is wrong."""
        self.note_other_files()
        if (self.folder / PROTOCOL).is_file():
            self.faults.extend(protocol_faults(self.folder / PROTOCOL))
        header = self.study_file()
        terms, identifiers = self.terms()
        left_out, identifiers = self.terms_left_out(identifiers)
        register, people = self.people(header)
        extra = self.optional_tables(header, terms, identifiers)
        balloted_sorts = self.add_ballot(header, identifiers, extra)
        design = self.design(people, identifiers)
        shown = design.shown if design and in_parts(self.folder) else None
        placements = self.sorts(header, register, people, identifiers, shown)
        named = self.pile_words(people)
        if self.faults or placements is None or identifiers is None:
            return None
        piles = numbered(placements.piles)
        words = self.numbered_words(named, register.participants, identifiers, piles)
        file, populations = self.sorts_name(), register.populations
        most = self.most_unseen if shown is not None else None
        self.faults.extend(never_together_placed(piles, populations, identifiers, file, most))
        self.notes.extend(incomplete_sorts(piles, register, identifiers, file, shown))
        positions = placements.positions
        if design:
            positions = np.where(positions > 0, positions, design.positions)
        if self.identical_from is not None:
            sent = sent_from_two_populations(piles, positions, register, self.identical_from, shown)
            self.notes.extend(sent)
        sorted_by_all = sorts_hash(populations, identifiers, piles)
        if balloted_sorts not in ("", sorted_by_all):
            problem = "was made from an older chart: the sorts are others now; its choices count"
            self.notes.append(Fault(BALLOT_FILE, problem=problem, severity="warning"))
        return Study(
            title=header.title,
            edition=header.edition,
            instruction=header.instruction,
            populations=header.populations,
            terms=terms,
            register=register,
            piles=piles,
            positions=positions,
            names=extra["names.csv"],
            decisions=extra["decisions.csv"],
            colours=extra["colours.csv"],
            findings=sorted(
                self.notes, key=lambda note: (note.file, note.line, note.column, note.problem)
            ),
            labels=extra[LABELS_FILE],
            license=header.license,
            cautions=header.cautions,
            language=header.language,
            sorts_sha256=sorted_by_all,
            shown=shown,
            pile_words=words,
            left_out=left_out,
            crosswalk=extra[CROSSWALK],
        )

    def terms(self) -> tuple[list[Row], list[str] | None]:
        """Return the terms, and their identifiers or None if the list is not whole."""
        table = self.table("terms.csv")
        if table is None:
            return [], None
        terms = check_terms(table, self.limits)
        identifiers = listed(table, (row["term"] for row in terms))
        if identifiers and not table.faults:
            self.faults.extend(check_sizes(identifiers, self.limits))
        self.gather(table)
        return terms, identifiers

    def terms_left_out(self, identifiers: list[str] | None) -> tuple[list[Row], list[str] | None]:
        """
        Return the terms that are not analysed; from now on no table has a row of them.

        Beside them the identifiers of the others, None if either list is not whole.
        """
        table = self.table_if_any(LEFT_OUT)
        if table is None:
            return [], identifiers
        rows = check_left_out(table, identifiers or (), self.limits)
        self.left_out = ids_of(rows) - set(identifiers or ())
        if rows:
            problem = f"{len(rows)} term(s) were shown and are not analysed; "
            table.note(0, "term", f"{problem}what other tables say of them is passed over")
        self.gather(table)
        return rows, None if table.faults else identifiers

    def people(self, header: StudyFile) -> tuple[Register, list[str] | None]:
        """Return the register, and its participants or None if the list is not whole."""
        table = self.table("participants.csv")
        if table is None:
            return Register(), None
        register = check_participants(table, header.populations)
        people = listed(table, register.participants)
        if people and not (table.faults or header.faults):
            self.faults.extend(check_groups(header.populations, register, self.limits))
        self.gather(table)
        return register, people

    def design(self, people: list[str] | None, identifiers: list[str] | None) -> Design | None:
        """Return who was shown what; None where everybody was shown every term."""
        table = self.table_if_any(DESIGN)
        if table is None:
            return None
        found = check_design(table, people, identifiers)
        self.gather(table)
        if found is None and people and identifiers:
            # its faults are told; the sorts are then not held against it
            shown = np.ones((len(people), len(identifiers)), dtype=bool)
            return Design(shown, np.zeros(shown.shape, dtype=np.int32))
        return found

    def pile_words(self, people: list[str] | None) -> RawTable | None:
        """Return what people called their piles, if there is such a table."""
        table = self.table_if_any(PILE_WORDS)
        if table is not None:
            check_pile_words(table, people, self.limits)
            self.gather(table)
        return table

    def numbered_words(
        self,
        named: RawTable | None,
        participants: Sequence[str],
        identifiers: Sequence[str],
        piles: Array,
    ) -> list[Row]:
        """Return what people called their piles, by the numbers that the piles have now."""
        if named is None or self.handed_in is None:
            return []
        rows = numbered_words(named, self.handed_in, participants, identifiers, piles)
        self.faults.extend(named.faults)
        return rows

    def optional_tables(
        self, header: StudyFile, terms: list[Row], identifiers: list[str] | None
    ) -> dict[str, list[Row]]:
        """Return what is said of names, decisions, colours, translations and the past, by file."""
        labels: Check = partial(check_labels, own=header.language)
        former = {row["term"]: row["renamed_from"] for row in terms if row["renamed_from"]}
        crosswalk: Check = partial(check_crosswalk, former=former)
        checks = {**OPTIONAL_TABLES, LABELS_FILE: labels, CROSSWALK: crosswalk}
        extra: dict[str, list[Row]] = {name: [] for name in checks}
        for name, check in checks.items():
            table = self.table_if_any(name)
            if table is not None:
                extra[name] = check(table, identifiers, self.limits)
                self.gather(table)
        return extra

    def add_ballot(
        self, header: StudyFile, identifiers: list[str] | None, extra: dict[str, list[Row]]
    ) -> str:
        """
        Put what a ballot says beside names, decisions and translations.

        Returns
        -------
        str
            Hash of the sorts that it was made from; empty where nothing of it counts.
        """
        path = self.folder / BALLOT
        if not path.is_file() or identifiers is None:
            return ""
        ballot = read_ballot(path, self.name, header.edition, identifiers, self.limits)
        self.faults.extend(ballot.faults)
        self.notes.extend(ballot.notes)
        if self.faults:
            return ""
        merged = Merging(
            ballot, *(extra[f"{name}.csv"] for name in ("decisions", "names", "labels"))
        )
        self.faults.extend(merged.faults)
        self.notes.extend(merged.notes)
        extra["decisions.csv"], extra["names.csv"] = merged.decisions, merged.names
        extra[LABELS_FILE] = merged.labels
        return ballot.sorts

    def study_file(self) -> StudyFile:
        """Return what `study.yaml` says; its faults are taken over."""
        header = read_study_file(self.folder / NAME)
        self.faults.extend(header.faults)
        return header

    def sorts(
        self,
        header: StudyFile,
        register: Register,
        participants: list[str] | None,
        terms: list[str] | None,
        shown: Bools | None = None,
    ) -> Placements | None:
        """Return the placements, or None if anything is wrong with them."""
        wide = ("participant", *(terms or ())) if header.layout == "wide" else None
        self.handed_in = self.whole_table("sorts.csv", wide)
        if self.handed_in is None:
            return None
        table = without_terms(self.handed_in, self.left_out, wide is not None)
        found: Placements | None = None
        without: list[str] = []
        if table.columns:
            found, without = check_sorts(table, header.layout, participants, terms, shown)
        self.faults.extend(unused_participants(without, register, table.file))
        self.gather(table)
        return found


def listed(table: RawTable, names: Iterable[str]) -> list[str] | None:
    """Return the distinct names that a table lists, or None if it could not be read in full."""
    distinct = list(dict.fromkeys(names))
    return distinct if distinct and not table.partial else None
