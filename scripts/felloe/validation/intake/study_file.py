"""A study's own settings: `study.yaml`, every scalar as the text that stands there."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

import yaml

from felloe.errors import Fault, StudyError, nearest
from felloe.ground.files.strict_yaml import TEXT, Entries, entries, read_mapping, unquoted
from felloe.ground.language_tags import ENGLISH, canonical_tag
from felloe.validation.intake.raw.characters import (
    IDENTIFIER,
    LONGEST_IDENTIFIER,
    hidden_character,
)

NAME = "study.yaml"
REQUIRED = ("title", "edition", "instruction", "populations")
KEYS = (*REQUIRED, "sorts_layout", "license", "cautions", "language")
TEXTS = tuple(key for key in KEYS if key not in ("populations", "cautions"))
LAYOUTS = ("long", "wide")
LONGEST_LICENSE = 200  # characters; a name or an address, no wording
LONGEST_CAUTIONS = 400  # characters, all together: they stand at the foot of every card
RESERVED = "pooled"
NOTHING = "tag:yaml.org,2002:null"
LINES = "\n\r\t"  # of wording that goes over several lines


@dataclass
class StudyFile:
    """
    What `study.yaml` says, and what is wrong with it.

    Attributes
    ----------
    title, edition, instruction : str
    populations : dict of str to str
        Id to label, in the order declared.
    layout : {"long", "wide"}
    license : str
        Under which the study is passed on, a name or an address; empty where none is stated.
    cautions : tuple of str
        What has to be said before anybody tastes, beside what is said of every tasting.
    language : str
        Tag of the language of terms, names and title.
    faults : list of Fault
    """

    title: str = ""
    edition: str = ""
    instruction: str = ""
    populations: dict[str, str] = field(default_factory=dict)
    layout: str = "long"
    license: str = ""
    cautions: tuple[str, ...] = ()
    language: str = ENGLISH
    faults: list[Fault] = field(default_factory=list)


def read_headers(studies: Mapping[str, str | Path]) -> dict[str, StudyFile]:
    """
    Read the `study.yaml` of every study.

    Parameters
    ----------
    studies : mapping of str to str
        Name to folder, as in the settings.

    Returns
    -------
    dict of str to StudyFile
        Without faults.

    Raises
    ------
    StudyError
        With every fault of every study's file.
    """
    headers = {
        name: read_study_file(Path(folder) / NAME, f"{folder}/{NAME}")
        for name, folder in studies.items()
    }
    faults = [fault for header in headers.values() for fault in header.faults]
    if faults:
        raise StudyError(list(dict.fromkeys(faults)))  # two studies may have one folder
    return headers


def read_study_file(path: str | Path, file: str = NAME) -> StudyFile:
    """
    Read `study.yaml`.

    Parameters
    ----------
    path : str or Path
    file : str
        Its name in messages.

    Returns
    -------
    StudyFile
        Whatever could be read, and every fault.
    """
    found = StudyFile()
    if not Path(path).is_file():
        problem, remedy = "the file is missing", "Write it; README.md shows the keys."
        found.faults.append(Fault(file, problem=problem, remedy=remedy))
        return found
    try:
        node = read_mapping(path, file)
    except StudyError as error:
        found.faults.extend(error.faults)
        return found
    Header(file, found).take(entries(node, file, "", found.faults))
    return found


@dataclass
class Header:
    """
    Takes the entries of one file over, and reports what is wrong with them.

    Attributes
    ----------
    file : str
        Its name in messages.
    found : StudyFile
    """

    file: str
    found: StudyFile

    def fault(
        self, node: yaml.Node | None, column: str, value: str, problem: str, remedy: str
    ) -> None:
        """Report a fault at the line of a node of YAML."""
        line = node.start_mark.line + 1 if node else 0
        self.found.faults.append(Fault(self.file, line, column, value, problem, remedy))

    def take(self, given: Entries) -> None:
        """Take over every key of the file."""
        for key, (key_node, _) in given.items():
            if key not in KEYS:
                close = nearest(key, KEYS)
                hint = f"Did you mean '{close}'?" if close else f"Its keys are: {', '.join(KEYS)}."
                self.fault(key_node, key, key, "is not a known key", hint)
        for key in REQUIRED:
            if key not in given:
                problem, remedy = f"the key '{key}' is missing", f"Add a line `{key}: ...`."
                self.fault(None, key, "", problem, remedy)
        texts = {key: self.text(key, *given[key]) for key in TEXTS if key in given}
        self.found.title = texts.get("title", "")
        self.found.instruction = texts.get("instruction", "")
        self.found.edition = edition = texts.get("edition", "")
        if edition and not is_edition(edition):
            problem, remedy = "is neither a year nor a date", "Write 2026 or 2026-03-27."
            self.fault(given["edition"][0], "edition", edition, problem, remedy)
        self.found.layout = layout = texts.get("sorts_layout") or "long"
        if layout not in LAYOUTS:
            key_node, remedy = given["sorts_layout"][0], "Write long or wide."
            self.fault(key_node, "sorts_layout", layout, "is no layout", remedy)
        self.found.license = texts.get("license", "")
        if problem := license_problem(self.found.license):
            key_node, remedy = given["license"][0], "Write a name, as CC-BY-4.0, or an address."
            self.fault(key_node, "license", self.found.license, problem, remedy)
        if "cautions" in given:
            self.found.cautions = self.cautions(*given["cautions"])
        self.found.language = self.language(given, texts.get("language", ENGLISH))
        if "populations" in given:
            self.found.populations = self.populations(*given["populations"])

    def language(self, given: Entries, text: str) -> str:
        """Return a tag as the standard writes it, or that of English with the reason reported."""
        if text and (problem := judge_language(text)):
            self.fault(given["language"][0], "language", text, *problem)
        return canonical_tag(text) or ENGLISH

    def text(self, key: str, key_node: yaml.Node, node: yaml.Node) -> str:
        """Return the text of a key, or "" with the reason reported."""
        if not isinstance(node, yaml.ScalarNode):
            remedy = f"Write `{key}: text` on one line."
            self.fault(key_node, key, "", "holds more than one text", remedy)
            return ""
        text = node.value.strip()
        if not text or (node.tag.endswith(":null") and node.style is None):
            self.fault(key_node, key, "", "is empty", "Write the text behind the colon.")
            return ""
        if problem := hidden_character(text, LINES):
            self.fault(key_node, key, text, problem, "Write the text anew without it.")
            return ""
        return str(text)

    def cautions(self, key_node: yaml.Node, node: yaml.Node) -> tuple[str, ...]:
        """Return one text or the texts of a list."""
        remedy = "Write `cautions: text`, or one line `- text` for each."
        if isinstance(node, yaml.MappingNode):
            problem = "is neither a text nor a list of texts"
            self.fault(key_node, "cautions", "", problem, remedy)
            return ()
        nodes = node.value if isinstance(node, yaml.SequenceNode) else [node]
        if not nodes:
            self.fault(key_node, "cautions", "", "is an empty list", remedy)
        plain = [each for each in nodes if isinstance(each, yaml.ScalarNode)]
        for each in nodes:
            if each not in plain:
                self.fault(each, "cautions", "", "holds an entry that is no text", remedy)
            elif each.tag not in (TEXT, NOTHING):
                problem = "is a number, a date or a truth value, no text"
                self.fault(each, "cautions", each.value, problem, "Say it in words.")
        texts = tuple(self.text("cautions", each, each) for each in plain)
        if (length := len(" ".join(texts))) > LONGEST_CAUTIONS:
            problem = f"has {length} characters, more than {LONGEST_CAUTIONS}"
            remedy = "Shorten it: every card has room for a few lines."
            self.fault(key_node, "cautions", texts[0], problem, remedy)
        return tuple(text for text in texts if text)

    def populations(self, key_node: yaml.Node, node: yaml.Node) -> dict[str, str]:
        """Return the declared populations and their labels, in the order declared."""
        place, remedy = "populations", "Write one line per population."
        if not isinstance(node, yaml.MappingNode):
            self.fault(key_node, place, "", "is no list of `id: label`", remedy)
            return {}
        if not node.value:
            self.fault(key_node, place, "", "declares no population", remedy)
        found = {}
        for key, (inner, value) in entries(node, self.file, place, self.found.faults).items():
            fault = judge_population(key, inner.tag)
            if fault:
                self.fault(inner, place, key, *fault)
            else:
                found[key] = self.text(f"populations.{key}", inner, value) or key
        return found


def judge_population(name: str, tag: str) -> tuple[str, str] | None:
    """
    Return (problem, remedy) of a population's id, or None.

    Parameters
    ----------
    name : str
    tag : str
        What the id would be to another reader of YAML.
    """
    whole = name.isdigit() and not name.startswith("0")  # 2026 stays 2026, 007 would be 7
    if tag != TEXT and not whole:
        return unquoted(name, tag)
    if len(name) > LONGEST_IDENTIFIER:
        return f"is longer than {LONGEST_IDENTIFIER} characters", "Choose a shorter identifier."
    if not IDENTIFIER.fullmatch(name):
        return "is no identifier", "Use small letters a-z, digits, - and _ only."
    if name == RESERVED:
        return f"'{RESERVED}' means all populations together", "Choose another id."
    return None


def judge_language(text: str) -> tuple[str, str] | None:
    """Return (problem, remedy) unless a text is the tag of a language."""
    if canonical_tag(text):
        return None
    meant = canonical_tag(text.replace("_", "-"))
    remedy = f"Did you mean '{meant}'?" if meant else "Write de, pt-BR or zh-Hant, for example."
    return "is no tag of a language (RFC 5646)", remedy


def license_problem(text: str) -> str:
    """Return what is wrong with a license, or "": it is one line, a name or an address."""
    if len(text) > LONGEST_LICENSE:
        return f"is longer than {LONGEST_LICENSE} characters"
    if "\n" in text or "\t" in text:
        return "goes over several lines"
    if "://" in text and not re.fullmatch(r"https?://[^\s<>\"{}|\\^`]+", text):
        return "is no address of the web"
    return ""


def is_edition(text: str) -> bool:
    """Return whether a text is a year, a year and month, or a day."""
    if not re.fullmatch(r"\d{4}(-\d{2}(-\d{2})?)?", text, re.ASCII):
        return False
    try:
        date.fromisoformat(text + "-01-01"[len(text) - 4 :] if len(text) < 10 else text)
    except ValueError:
        return False
    return True
