"""`invitations.csv`: who is asked, of which population, in which language."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from felloe.errors import Fault
from felloe.ground.language_tags import canonical_tag
from felloe.validation.intake.raw.cells import (
    Verdict,
    has_columns,
    judge_person,
    report,
    report_repeated,
    unknown_id,
)
from felloe.validation.intake.raw.csv_reader import read_csv
from felloe.validation.intake.study_file import judge_language

NAME = "invitations.csv"
COLUMNS = ("participant", "population")
LANGUAGE = "language"


@dataclass(frozen=True)
class Invited:
    """
    One person who is asked.

    Attributes
    ----------
    population : str
    language : str
        Tag; the study's own where none is given.
    line : int
        Where the person stands in the file.
    """

    population: str
    language: str
    line: int = 0


def read_invitations(
    folder: Path, populations: Mapping[str, str], own: str
) -> tuple[dict[str, Invited], list[Fault]]:
    """
    Read who is asked.

    Parameters
    ----------
    folder : Path
        Of the study.
    populations : mapping of str to str
        Declared populations and their labels.
    own : str
        Tag of the study's own language.

    Returns
    -------
    people : dict of str to Invited
        In sorted order.
    faults : list of Fault
    """
    path, shown = folder / NAME, str(folder / NAME)
    if not path.is_file():
        sheet = path.with_suffix(".xlsx")
        if sheet.exists():
            problem, remedy = "is not read as a spreadsheet", f"Save its sheet as {NAME}."
            return {}, [Fault(str(sheet), problem=problem, remedy=remedy)]
        remedy = (
            f"Write it; its columns are: {', '.join(COLUMNS)}, and {LANGUAGE} if not everybody is "
            "asked in the study's own. Pseudonyms only, never names."
        )
        return {}, [Fault(shown, problem="the file is missing", remedy=remedy)]
    table = read_csv(path, shown, (*COLUMNS, LANGUAGE))
    if not has_columns(table, COLUMNS, (LANGUAGE,)):
        return {}, table.faults
    report(table, "participant", judge_person)
    report_repeated(table, ["participant"], "the participant")
    remedy = "Declare it under `populations` in study.yaml, or mend the cell."
    report(table, "population", unknown_id(populations, "population", remedy, populations))
    languages = [""] * len(table)
    if LANGUAGE in table:
        report(table, LANGUAGE, judge_own_or_tag)
        languages = table[LANGUAGE].texts()
    rows = zip(
        table["participant"].texts(), table["population"].texts(), languages,
        table.lines.tolist(), strict=True,
    )  # fmt: skip
    people = {
        person: Invited(population, (canonical_tag(tag) or own) if tag else own, line)
        for person, population, tag, line in rows
    }
    return dict(sorted(people.items())), table.faults


def judge_own_or_tag(value: str) -> Verdict:
    """Return (problem, remedy) unless the cell is empty or the tag of a language."""
    return judge_language(value) if value else None
