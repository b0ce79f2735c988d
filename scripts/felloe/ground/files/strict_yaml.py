"""YAML as people type it: read by one strict reader, and bounded before anything is built."""

import math
from pathlib import Path
from typing import Any

import yaml

from felloe.errors import Fault, StudyError, shortened

MOST_BYTES = 1 << 18  # the settings of this project have some ten thousand; more takes seconds
MOST_DEPTH = 12  # blocks within blocks; settings have five, and the reader of YAML recurses
MOST_DIGITS = 30  # characters of a number; thousands of digits are no number that can be printed
TAG = "tag:yaml.org,2002:"
TEXT = TAG + "str"
REMEDY = "Mend the line; wording with a colon or # needs quotes around it."
NUMBER_REMEDY = (
    f"Write a finite number of at most {MOST_DIGITS} characters, or quotes around a text."
)
KINDS = {  # what a word without quotes is to a reader of YAML, where it is no text
    "int": "a number",
    "float": "a number",
    "bool": "a truth value",
    "null": "nothing at all",
    "timestamp": "a date",
}


class Refused(yaml.YAMLError):
    """What a file may not hold, and where."""

    def __init__(self, line: int, problem: str, remedy: str) -> None:
        super().__init__(problem)
        self.line = line
        self.problem = problem
        self.remedy = remedy


class BoundedLoader(yaml.SafeLoader):
    """A loader without aliases, tags and deep nesting; it refuses before it recurses."""

    depth = 0

    def compose_node(self, parent: yaml.Node | None, index: int) -> yaml.Node | None:
        """Return the next node, or refuse it."""
        event: Any = self.peek_event()  # type: ignore[no-untyped-call]  # so the stubs have it
        line = event.start_mark.line + 1
        if isinstance(event, yaml.AliasEvent):
            raise Refused(line, "refers to another place by an alias (*)", "Write the text out.")
        if event.tag is not None:
            raise Refused(line, "holds a tag (!)", "Take it away, or put quotes around the text.")
        if self.depth == MOST_DEPTH:
            problem = f"is nested more than {MOST_DEPTH} deep"
            raise Refused(line, problem, "Are brackets or quotes left open? Write `key: value`.")
        self.depth += 1
        node = super().compose_node(parent, index)
        self.depth -= 1
        return node


def read_mapping(path: str | Path, shown: str) -> yaml.MappingNode:
    """
    Read a YAML file whose top level is a mapping; the scalars stay the text that stands there.

    Parameters
    ----------
    path : str or Path
    shown : str
        The path as the user knows it.

    Returns
    -------
    MappingNode

    Raises
    ------
    StudyError
        With the one fault that kept the file from being read: it is missing, too long, not UTF-8,
        not YAML, nested too deep, or has aliases or tags.
    """

    def refusal(line: int, value: str, problem: str, remedy: str) -> StudyError:
        return StudyError([Fault(shown, line, "", value, problem, remedy)])

    try:
        with Path(path).open("rb") as stream:
            data = stream.read(MOST_BYTES + 1)
    except OSError as error:
        problem = f"cannot be read ({error.strerror})"
        raise refusal(0, "", problem, "Check the path, and who may read it.") from error
    if len(data) > MOST_BYTES:
        problem = f"is longer than {MOST_BYTES} bytes"
        line = data[:MOST_BYTES].count(b"\n") + 1
        raise refusal(line, "", problem, "Keep to the keys; nothing else belongs here.")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line, value = data[: error.start].count(b"\n") + 1, f"\\x{data[error.start]:02x}"
        problem = "is not UTF-8 text from here on"
        raise refusal(line, value, problem, "Save the file as UTF-8.") from error
    try:
        node = composed(text)
    except Refused as error:
        raise refusal(error.line, "", error.problem, error.remedy) from error
    if not isinstance(node, yaml.MappingNode):
        raise refusal(0, "", "holds no keys", "Write `key: value` lines.")
    return node


def composed(text: str) -> yaml.Node | None:
    """
    Return the top node of a text, None if it is empty.

    Raises
    ------
    Refused
        If it is no YAML of the kind that is read here.
    """
    try:
        loader = BoundedLoader(text)
    except yaml.reader.ReaderError as error:
        line = text.count("\n", 0, error.position) + 1
        character = f"the invisible control character U+{int(error.character):04X}"
        raise Refused(line, f"is not YAML (holds {character})", "Take it away.") from error
    try:
        return loader.get_single_node()
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        words = ", ".join(part for part in (error.context, error.problem) if part)
        line = mark.line + 1 if mark else 0
        raise Refused(line, f"is not YAML ({shortened(words, 120)})", REMEDY) from error
    except (ValueError, OverflowError) as error:  # an escape or a version that is no number
        line = loader.get_mark().line + 1
        raise Refused(line, "is not YAML (it can not be read)", REMEDY) from error
    finally:
        loader.dispose()


Entries = dict[str, tuple[yaml.ScalarNode, yaml.Node]]


def entries(node: yaml.MappingNode, shown: str, place: str, faults: list[Fault]) -> Entries:
    """
    Return the entries of a mapping as key: (node of the key, node of the value).

    Parameters
    ----------
    node : MappingNode
    shown : str
        The file as the user knows it.
    place : str
        Name of the mapping in messages; "" for the top level.
    faults : list of Fault
        A key that is no word, or stands twice, is added here.
    """
    found: Entries = {}
    for key_node, value_node in node.value:
        line = key_node.start_mark.line + 1
        if not isinstance(key_node, yaml.ScalarNode):
            problem = "a key is no plain word"
            faults.append(Fault(shown, line, place, "", problem, "Write `key: text`."))
            continue
        key = key_node.value
        if key in found:
            first = found[key][0].start_mark.line + 1
            problem = f"the key stands twice (first on line {first})"
            faults.append(Fault(shown, line, place or key, key, problem, "Keep one of the two."))
        else:
            found[key] = (key_node, value_node)
    return found


def unquoted(text: str, tag: str) -> tuple[str, str]:
    """
    Return (problem, remedy) of a name that is no text to a reader of YAML, as `2026` and `no`.

    Parameters
    ----------
    text : str
    tag : str
        What it is to a reader of YAML.
    """
    kind = KINDS.get(tag.removeprefix(TAG), "no text")
    shown = shortened(text) if text.isprintable() and "'" not in text else "..."
    remedy = f"Write it in quotes, '{shown}': it is then a name."
    return f"is {kind} to a reader of YAML, and no name", remedy


def plain_mapping(node: yaml.MappingNode, shown: str) -> dict[str, Any]:
    """
    Turn a mapping into plain values: texts, numbers, truth values, lists and dictionaries.

    Raises
    ------
    StudyError
        With every key and value that is none of these: keys that stand twice or are no text,
        dates, numbers that are not finite or too long to be one.
    """
    faults: list[Fault] = []
    found = _plain(node, shown, "", faults)
    if faults:
        raise StudyError(faults)
    return dict(found)


def _plain(node: yaml.Node, shown: str, place: str, faults: list[Fault]) -> Any:
    if isinstance(node, yaml.SequenceNode):
        return [_plain(item, shown, place, faults) for item in node.value]
    if isinstance(node, yaml.ScalarNode):
        return _plain_scalar(node, shown, place, faults)
    if not isinstance(node, yaml.MappingNode):
        raise TypeError(f"{type(node).__name__} is no node of YAML")
    found = {}
    for key, (key_node, value_node) in entries(node, shown, place, faults).items():
        inner = f"{place}.{key}" if place else key
        if key_node.tag != TEXT:
            problem, remedy = unquoted(key, key_node.tag)
            line = key_node.start_mark.line + 1
            faults.append(Fault(shown, line, place or "top level", key, problem, remedy))
        found[key] = _plain(value_node, shown, inner, faults)
    return found


def _plain_scalar(node: yaml.ScalarNode, shown: str, place: str, faults: list[Fault]) -> Any:
    kind, text = node.tag.removeprefix(TAG), node.value
    if kind == "null":
        return None
    if kind == "bool":
        return yaml.SafeLoader.bool_values[text.lower()]
    problem = remedy = ""
    if kind in ("int", "float"):
        number = _number(kind, node) if len(text) <= MOST_DIGITS else None
        if number is not None:
            return number
        problem, remedy = "is no number that can be used", NUMBER_REMEDY
    elif kind == "timestamp":
        problem = "is a date to a reader of YAML, and no setting is one"
        remedy = "Write a number, or put quotes around it if it is meant as text."
    if problem:
        line = node.start_mark.line + 1
        faults.append(Fault(shown, line, place, text, problem, remedy))
    return text


def _number(kind: str, node: yaml.ScalarNode) -> int | float | None:
    """Return a finite number, or None."""
    loader = yaml.SafeLoader("")
    try:
        if kind == "int":
            return int(loader.construct_yaml_int(node))
        number = float(loader.construct_yaml_float(node))
    except (ValueError, OverflowError):  # `0b_` looks like a number and is none
        return None
    return number if math.isfinite(number) else None
