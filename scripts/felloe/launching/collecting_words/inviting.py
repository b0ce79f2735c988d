"""A study before its data, as far as kits are made from it: people, words, what was given."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from felloe.collecting.asked import Asked
from felloe.collecting.gathering.withdrawn import hash_of, read_withdrawn
from felloe.collecting.identity import Identity, Kind, hash_of_terms
from felloe.collecting.kit import kit_words
from felloe.collecting.kit.invited import NAME as INVITATIONS
from felloe.collecting.kit.invited import Invited, read_invitations
from felloe.collecting.kit.issuing import KITS, Files, Make, read_given
from felloe.collecting.kit.record import Issued
from felloe.collecting.kit.wording import Sources, Wording, wordings
from felloe.errors import Fault, StudyError
from felloe.ground.randomness import Streams
from felloe.launching.study_so_far import read_terms
from felloe.settings_merged import Settings
from felloe.validation.intake.study_file import NAME, StudyFile, read_study_file
from felloe.validation.settings import Limits


@dataclass(frozen=True)
class Inviting:
    """
    Who is asked what in which words.

    Attributes
    ----------
    study : str
        Its name in the settings.
    folder : Path
    settings : dict
    header : StudyFile
    labels : dict of str to str
        Of the lexicon, in the study's own language, by id.
    people : dict of str to Invited
    wordings : dict of str to Wording
        By language.
    given : dict of str to dict of Kind to Issued
        Kits that were given, by person; of who is no longer invited too.
    """

    study: str
    folder: Path
    settings: Settings
    header: StudyFile
    labels: Mapping[str, str]
    people: Mapping[str, Invited]
    wordings: Mapping[str, Wording]
    given: Mapping[str, Mapping[Kind, Issued]]

    @property
    def terms(self) -> list[str]:
        """The ids of the lexicon, sorted."""
        return sorted(self.labels)

    @property
    def streams(self) -> Streams:
        """The study's random numbers."""
        return Streams(self.settings["seed"], self.study)

    def asked(self, kind: Kind, person: str, order: list[str]) -> Asked:
        """Return what one person is asked, who sees terms in an order."""
        identity = Identity(
            kind, self.study, self.header.edition, person, hash_of_terms(self.labels)
        )
        return self.wordings[self.people[person].language].asked(identity, order)

    def making(self, kind: Kind, asked: Mapping[str, Asked]) -> Make:
        """
        Return what makes the files of one person.

        Raises
        ------
        StudyError
            If texts have letters that no font at hand has.
        """
        if kind == "colours":
            return screen_files
        from felloe.collecting.paper.paper_pdf import check_letters, paper_pdf
        from felloe.report.cards.fonts import font_files
        from felloe.report.cards.lettering import Lettering

        fonts = [self.folder / name for name in self.settings["wheel"]["fonts"]]
        lettering = Lettering(font_files(fonts))
        check_letters(asked.values(), lettering)
        return lambda one: {**screen_files(one), f"{name_of(one)}.pdf": paper_pdf(one, lettering)}

    def said(self) -> list[str]:
        """Return what has to be said of the study's kits, whichever they are."""
        given = next(iter(self.wordings.values())).consent.given if self.wordings else True
        notes = [] if given else [kit_words.NO_CONSENT]
        shown = any(any(one.definitions.values()) for one in self.wordings.values())
        return notes + ([kit_words.DEFINITIONS] if shown else [])


def read_inviting(study: str, folder: Path, settings: Settings) -> Inviting:
    """
    Read who is asked what.

    Raises
    ------
    StudyError
        With every fault of `study.yaml`, terms, invitations, consent texts, translations and
        records of kits.
    """
    header = read_study_file(folder / NAME, str(folder / NAME))
    rows, of_terms = read_terms(folder, settings)
    people, of_people = read_invitations(folder, header.populations, header.language)
    limits, shown = Limits(**settings["intake"]), settings["kit"]["definitions"]
    found, of_words = wordings(Sources(folder, header, rows, limits, shown), people)
    given, of_records = read_given(folder / KITS)
    faults = [*header.faults, *of_terms, *of_people, *of_words, *of_records]
    faults += invited_again(study, folder, people)
    if faults:
        raise StudyError(faults)
    labels = {row["term"]: row["label"] for row in rows}
    return Inviting(study, folder, settings, header, labels, people, found, given)


def invited_again(study: str, folder: Path, people: Mapping[str, Invited]) -> list[Fault]:
    """Return who is invited though they withdrew."""
    gone, place = read_withdrawn(folder), str(folder / INVITATIONS)
    return [
        Fault(place, one.line, "participant", person, kit_words.WITHDREW, kit_words.WITHDREW_CURE)
        for person, one in people.items()
        if hash_of(study, person) in gone
    ]


def name_of(asked: Asked) -> str:
    """Return the name of a person's files, without what says their form."""
    kind = "-colours" if asked.identity.kind == "colours" else ""
    return f"{asked.identity.study}-{asked.identity.participant}{kind}"


def screen_files(asked: Asked) -> Files:
    """Return spreadsheet and page of one person."""
    from felloe.collecting.page.sort_page import colour_page, sort_page
    from felloe.collecting.spreadsheet.writing import kit_workbook

    page = (colour_page if asked.identity.kind == "colours" else sort_page)(asked)
    return {f"{name_of(asked)}.xlsx": kit_workbook(asked), f"{name_of(asked)}.html": page.encode()}
