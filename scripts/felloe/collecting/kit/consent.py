"""`consent.md`: what people are told before they are asked anything, in each language."""

from dataclasses import dataclass, field
from pathlib import Path

import yaml

from felloe.collecting.asked import Consent
from felloe.errors import Fault, StudyError, nearest
from felloe.ground.files.strict_yaml import MOST_BYTES, Refused, composed, entries
from felloe.validation.intake.raw.characters import hidden_character
from felloe.validation.intake.raw.csv_reader import line_of

NAME = "consent.md"
NONE = "no consent text"
TEXTS = ("purpose", "stored", "withdraw", "contact")
MINUTES = "minutes"
INSTRUCTION = "instruction"  # of translations: study.yaml has it in the study's own language alone
TITLE = "title"  # of translations, where the study's own would not be understood
FENCE = "---"
LONGEST = 20_000  # characters of the text below the keys: ten pages, which nobody reads
FORM = (
    f"Write a line {FENCE}, the keys {', '.join(TEXTS)} and {MINUTES} (yes or no) with their "
    f"texts, a line {FENCE}, and the rest of the text."
)
WITHOUT = f"If there is no consent text, write the single line `{NONE}` into it."
LINES = "\n\r\t"


@dataclass
class ConsentFile:
    """
    What one file says, and what is wrong with it.

    Attributes
    ----------
    shown : str
        Its path in messages.
    consent : Consent
    instruction, title : str
        Empty in the study's own language, where `study.yaml` has them.
    faults : list of Fault
    """

    shown: str
    consent: Consent = field(default_factory=lambda: Consent(False))
    instruction: str = ""
    title: str = ""
    faults: list[Fault] = field(default_factory=list)

    def fault(self, line: int, column: str, value: str, problem: str, remedy: str) -> None:
        """Remember something that is wrong."""
        self.faults.append(Fault(self.shown, line, column, value, problem, remedy))


def consent_name(language: str = "") -> str:
    """Return the name of the file of a language; the study's own has none in its name."""
    return f"consent.{language}.md" if language else NAME


def read_consent(folder: Path, language: str = "", longest: int = 4000) -> ConsentFile:
    """
    Read what people are told in a language.

    Parameters
    ----------
    folder : Path
        Of the study.
    language : str
        Tag; empty for the study's own.
    longest : int
        Characters of each key's text.

    Returns
    -------
    ConsentFile
        Whatever could be read, and every fault.
    """
    path = folder / consent_name(language)
    found = ConsentFile(str(path))
    if not path.is_file():
        remedy = FORM if language else f"{FORM} {WITHOUT}"
        if language:
            remedy += f" Of a translation also the key {INSTRUCTION}."
        found.fault(0, "", "", "the file is missing, so no kit is made", remedy)
        return found
    try:
        text = text_of(path, found.shown)
    except StudyError as error:
        found.faults.extend(error.faults)
        return found
    if text.strip() == NONE and not language:
        return found
    parts = split(text, found)
    if parts:
        take(found, *parts, bool(language), longest)
    return found


def text_of(path: Path, shown: str) -> str:
    """Return the text of a file, its line ends made plain, or raise the fault of its form."""
    data = path.read_bytes()
    problem = remedy = value = ""
    line = 0
    if len(data) > MOST_BYTES:
        problem, remedy = f"is longer than {MOST_BYTES} bytes", "Shorten it; nobody reads that."
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line, value = line_of(data, error.start), f"\\x{data[error.start]:02x}"
        problem, remedy = "is not UTF-8 text from here on", "Save the file as UTF-8."
    if problem:
        raise StudyError([Fault(shown, line, "", value, problem, remedy)])
    return text.replace("\r\n", "\n").replace("\r", "\n")


def split(text: str, found: ConsentFile) -> tuple[str, str, int] | None:
    """Return the keys as YAML, the text below them, and its first line; None with the fault."""
    lines = text.split("\n")
    start = next((at for at, line in enumerate(lines) if line.strip()), None)
    if start is None:
        found.fault(0, "", "", "is empty", f"{FORM} {WITHOUT}")
        return None
    if lines[start].rstrip() != FENCE:
        problem = f"does not start with a line {FENCE}"
        found.fault(start + 1, "", lines[start], problem, f"{FORM} {WITHOUT}")
        return None
    ends = [at for at, line in enumerate(lines) if at > start and line.rstrip() == FENCE]
    if not ends:
        problem = f"has no second line {FENCE}, which ends the keys"
        found.fault(start + 1, "", "", problem, "Write it below the last key.")
        return None
    above = "\n" * (start + 1)  # so that lines keep their numbers
    return above + "\n".join(lines[start + 1 : ends[0]]), "\n".join(lines[ends[0] + 1 :]), ends[0]


def take(
    found: ConsentFile, keys: str, text: str, above: int, translated: bool, longest: int
) -> None:
    """Take over keys and text of a file, with all that is wrong with them."""
    try:
        node = composed(keys)
    except Refused as error:
        found.fault(error.line, "", "", error.problem, error.remedy)
        return
    if not isinstance(node, yaml.MappingNode):
        found.fault(1, "", "", "holds no keys between its lines ---", FORM)
        return
    given = entries(node, found.shown, "", found.faults)
    none = translated and text.strip() == NONE
    needed = (INSTRUCTION,) if none else (*TEXTS, MINUTES, *([INSTRUCTION] * translated))
    known = (*needed, *([TITLE] * translated))
    for key, (key_node, _) in given.items():
        if key not in known:
            line, (problem, remedy) = key_node.start_mark.line + 1, unknown(key, known, none)
            found.fault(line, key, key, problem, remedy)
    for key in needed:
        if key not in given:
            remedy = f"Add a line `{key}: ...`."
            found.fault(0, key, "", f"the key '{key}' is missing", remedy)
    texts = {
        key: value(found, key, *given[key], longest)
        for key in known
        if key in given and key != MINUTES
    }
    found.instruction, found.title = texts.pop(INSTRUCTION, ""), texts.pop(TITLE, "")
    if none:
        return
    minutes = yes_or_no(found, *given[MINUTES]) if MINUTES in given else False
    found.consent = Consent(True, **texts, text=body(found, text, above), minutes=minutes)


def unknown(key: str, known: tuple[str, ...], none: bool) -> tuple[str, str]:
    """Return (problem, remedy) of a key that is none of this file's."""
    if key in (INSTRUCTION, TITLE):
        return "stands in study.yaml", "Take it out; only translations have it."
    if none and key in (*TEXTS, MINUTES):
        return f"stands above '{NONE}'", "Take one of the two out."
    close = nearest(key, known)
    hint = f"Did you mean '{close}'?" if close else f"Its keys are: {', '.join(known)}."
    return "is not a known key", hint


def value(found: ConsentFile, key: str, key_node: yaml.Node, node: yaml.Node, longest: int) -> str:
    """Return the text of a key, or "" with the reason reported."""
    line = key_node.start_mark.line + 1
    if not isinstance(node, yaml.ScalarNode):
        remedy = f"Write `{key}: text` on one line, or `{key}: |` and indented lines below."
        found.fault(line, key, "", "holds more than one text", remedy)
        return ""
    text = str(node.value).strip()
    if not text or (node.tag.endswith(":null") and node.style is None):
        found.fault(line, key, "", "is empty", "Write the text behind the colon.")
    elif len(text) > longest:
        problem = f"has {len(text)} characters, the most is {longest}"
        found.fault(line, key, text, problem, "Shorten it, or put it below the keys.")
    elif problem := hidden_character(text, LINES):
        found.fault(line, key, text, problem, "Write the text anew without it.")
    return text


def yes_or_no(found: ConsentFile, key_node: yaml.Node, node: yaml.Node) -> bool:
    """Return whether minutes are kept."""
    text = str(node.value).strip().lower() if isinstance(node, yaml.ScalarNode) else ""
    if text not in ("yes", "no"):
        line, problem = key_node.start_mark.line + 1, "says neither yes nor no"
        remedy = "Write yes if the text says that the time taken is kept, else no."
        found.fault(line, MINUTES, text, problem, remedy)
    return text == "yes"


def body(found: ConsentFile, text: str, above: int) -> str:
    """Return the text below the keys: paragraphs apart by one empty line."""
    for at, line in enumerate(text.split("\n"), above + 2):
        if problem := hidden_character(line, LINES):
            found.fault(at, "", line, problem, "Write the line anew without it.")
    if len(text) > LONGEST:
        problem = f"the text has {len(text):,} characters, the most is {LONGEST:,}"
        found.fault(above + 2, "", "", problem, "Shorten it; nobody reads that.")
    return "\n\n".join(paragraphs(text))


def paragraphs(text: str) -> list[str]:
    """Return the paragraphs of a text, their lines as they are."""
    found: list[list[str]] = [[]]
    for line in text.split("\n"):
        if line.strip():
            found[-1].append(line.rstrip())
        elif found[-1]:
            found.append([])
    return ["\n".join(lines) for lines in found if lines]


def differing(own: ConsentFile, other: ConsentFile) -> list[Fault]:
    """Return where a translation promises something else than the study's own text."""
    faults = []
    pairs: list[tuple[str, object, object]] = [
        ("", own.consent.given, other.consent.given),
        (MINUTES, own.consent.minutes, other.consent.minutes),
        ("", bool(own.consent.text), bool(other.consent.text)),
    ]
    told = (
        f"one of this file and {NAME} says '{NONE}', the other has one",
        f"is not what {NAME} says",
        f"one of this file and {NAME} has a text below the keys, the other has none",
    )
    for (column, one, two), problem in zip(pairs, told, strict=True):
        if one != two:
            remedy = "Say the same in all languages."
            faults.append(Fault(other.shown, 0, column, "", problem, remedy))
            break
    return faults
