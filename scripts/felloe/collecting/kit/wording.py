"""The words of one language: what is asked, what the cards say, and what has to be there for it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from felloe.allocation.words import counted, named
from felloe.collecting.asked import Asked, Card, Consent
from felloe.collecting.identity import Identity
from felloe.collecting.kit.consent import ConsentFile, differing, read_consent
from felloe.collecting.kit.invited import NAME as INVITATIONS
from felloe.collecting.kit.invited import Invited
from felloe.collecting.page.wording import page_languages
from felloe.errors import Fault
from felloe.ground.files.tables import Row
from felloe.ground.language_tags import wider_tags
from felloe.report.languages.language_words import interface_words, known_languages
from felloe.validation.intake.folder import read_table
from felloe.validation.intake.lexicon.languages import LABELS_FILE, LABELS_SHEET
from felloe.validation.intake.lexicon.translations import LABEL_COLUMNS, check_labels
from felloe.validation.intake.study_file import StudyFile
from felloe.validation.settings import Limits

LABELS = (LABELS_FILE, LABELS_SHEET)


@dataclass(frozen=True)
class Wording:
    """
    What everybody who is asked in one language reads.

    Attributes
    ----------
    language, title, instruction : str
    consent : Consent
    labels, definitions : mapping of str to str
        By term; a definition is empty where there is none, or none is to be shown.
    """

    language: str
    title: str
    instruction: str
    consent: Consent
    labels: Mapping[str, str]
    definitions: Mapping[str, str]

    def asked(self, identity: Identity, order: Sequence[str]) -> Asked:
        """Return what one person is asked, who sees terms in an order."""
        cards = tuple(Card(term, self.labels[term], self.definitions[term]) for term in order)
        instruction = self.instruction
        if identity.kind == "colours":  # the study's own is about piles
            instruction = interface_words(self.language)["kit.ask_colour"]
        return Asked(identity, self.language, self.title, instruction, self.consent, cards)


@dataclass(frozen=True)
class Sources:
    """
    What the wording of every language is made from.

    Attributes
    ----------
    folder : Path
        Of the study.
    header : StudyFile
    terms : sequence of row
        The lexicon.
    limits : Limits
    definitions : bool
        Whether cards show them.
    """

    folder: Path
    header: StudyFile
    terms: Sequence[Row]
    limits: Limits
    definitions: bool


def wordings(
    sources: Sources, people: Mapping[str, Invited]
) -> tuple[dict[str, Wording], list[Fault]]:
    """
    Return the words of every language in which somebody is asked.

    Returns
    -------
    wordings : dict of str to Wording
        By tag.
    faults : list of Fault
        What is missing for a language, each with its file and cure.
    """
    own = sources.header.language
    wanted = sorted({person.language for person in people.values()})
    own_file = read_consent(sources.folder, longest=sources.limits.longest_text)
    faults = [*own_file.faults, *without_interface(sources, people)]
    found = {own: own_wording(sources, own_file.consent)}
    further = [language for language in wanted if language != own]
    labels, of_labels = read_labels(sources) if further else ([], [])
    faults += of_labels
    for language in further:
        file = read_consent(sources.folder, language, sources.limits.longest_text)
        faults += file.faults or differing(own_file, file)
        rows = {
            row["id"]: row
            for row in labels
            if row["language"] == language and row["tier"] == "term"
        }
        faults += [] if of_labels else untranslated(sources, language, rows)
        found[language] = translated(sources, language, file, rows)
    return {language: found[language] for language in wanted}, faults


def own_wording(sources: Sources, consent: Consent) -> Wording:
    """Return the words of the study's own language."""
    header, terms = sources.header, sources.terms
    labels = {row["term"]: row["label"] for row in terms}
    definitions = {row["term"]: row["definition"] if sources.definitions else "" for row in terms}
    return Wording(header.language, header.title, header.instruction, consent, labels, definitions)


def translated(
    sources: Sources, language: str, file: ConsentFile, rows: Mapping[str, Row]
) -> Wording:
    """Return the words of another language; what is missing is empty, and is told elsewhere."""
    terms = [row["term"] for row in sources.terms]
    labels = {term: rows[term]["label"] if term in rows else "" for term in terms}
    definitions = {
        term: rows[term]["definition"] if sources.definitions and term in rows else ""
        for term in terms
    }
    return Wording(
        language,
        file.title or sources.header.title,
        file.instruction,
        file.consent,
        labels,
        definitions,
    )


def without_interface(sources: Sources, people: Mapping[str, Invited]) -> list[Fault]:
    """Return the languages for whose buttons and heads there are no words."""
    faults = []
    first = {person.language: person for person in reversed([*people.values()])}
    there = sorted({*known_languages()} & {*page_languages()})
    for language, person in sorted(first.items()):
        if any(tag in there for tag in wider_tags(language)):
            continue
        problem = "is a language for which the kit has no words of its own"
        remedy = f"There are: {', '.join(there)}. config/README.md says how one is added."
        place = sources.folder / INVITATIONS
        faults.append(Fault(str(place), person.line, "language", language, problem, remedy))
    return faults


def read_labels(sources: Sources) -> tuple[list[Row], list[Fault]]:
    """Return the translations of a study, and every fault of their file; none if it is missing."""
    there = [name for name in LABELS if (sources.folder / name).is_file()]
    shown = [str(sources.folder / name) for name in there]
    if len(there) > 1:
        return [], [Fault(shown[1], problem=f"stands beside {LABELS[0]}", remedy="Keep one.")]
    if not there:
        return [], []
    table = read_table(sources.folder / there[0], shown[0], LABEL_COLUMNS)
    terms = [row["term"] for row in sources.terms]
    rows = check_labels(table, terms, sources.limits, sources.header.language)
    return rows, table.faults


def untranslated(sources: Sources, language: str, rows: Mapping[str, Row]) -> list[Fault]:
    """Return which terms have no label in a language, and which no definition that others have."""
    lacking = [row["term"] for row in sources.terms if not rows.get(row["term"], {}).get("label")]
    undefined = [
        row["term"]
        for row in sources.terms
        if sources.definitions
        and row["definition"]
        and row["term"] in rows
        and not rows[row["term"]].get("definition")
    ]
    shown = str(sources.folder / LABELS[0])
    faults = []
    for what, terms in (("label", lacking), ("definition", undefined)):
        if terms:
            number = counted(len(terms), "term has", "terms have")
            problem = f"{number} no {what} in '{language}': {named(terms)}"
            remedy = "Add it: who is asked in this language would see another task."
            faults.append(Fault(shown, 0, what, "", problem, remedy))
    return faults
