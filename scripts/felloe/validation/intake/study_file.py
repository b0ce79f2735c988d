"""A study's own settings: `study.yaml`, every scalar as the text that stands there."""

import re
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from felloe.errors import Fault, nearest

KEYS = ("title", "edition", "instruction", "populations", "sorts_layout")
REQUIRED = KEYS[:4]
LAYOUTS = ("long", "wide")
TEXT = "tag:yaml.org,2002:str"
RESERVED = "pooled"
IDENTIFIER = re.compile(r"[a-z0-9][a-z0-9_-]*")


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
    faults : list of Fault
    """

    title: str = ""
    edition: str = ""
    instruction: str = ""
    populations: dict = field(default_factory=dict)
    layout: str = "long"
    faults: list = field(default_factory=list)


def read_study_file(path, file="study.yaml"):
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
    """
    found = StudyFile()

    def fault(line, column, value, problem, remedy):
        found.faults.append(Fault(file, line, column, value, problem, remedy))

    node = composed(Path(path).read_bytes(), fault)
    if node is None:
        return found
    entries = mapping(node, "", fault)
    for key, (line, _) in entries.items():
        if key not in KEYS:
            close = nearest(key, KEYS)
            hint = f"Did you mean '{close}'?" if close else f"Its keys are: {', '.join(KEYS)}."
            fault(line, key, key, "is not a known key", hint)
    for key in REQUIRED:
        if key not in entries:
            fault(0, key, "", f"the key '{key}' is missing", f"Add a line `{key}: ...`.")
    for key in ("title", "edition", "instruction", "sorts_layout"):
        if key in entries:
            line, value = entries[key]
            text = scalar(key, line, value, fault)
            if text is not None:
                setattr(found, "layout" if key == "sorts_layout" else key, text)
    if "edition" in entries and found.edition and not is_edition(found.edition):
        problem = "is neither a year nor a date"
        fault(entries["edition"][0], "edition", found.edition, problem, "Write 2026 or 2026-03-27.")
    if found.layout not in LAYOUTS:
        line, remedy = entries["sorts_layout"][0], "Write long or wide."
        fault(line, "sorts_layout", found.layout, "is no layout", remedy)
    if "populations" in entries:
        found.populations = populations(*entries["populations"], fault)
    return found


def composed(data, fault):
    """Return the document's top node, or None with the reason reported."""
    import yaml

    try:
        text = data.decode("utf-8-sig")
        aliases = [e for e in yaml.parse(text) if isinstance(e, yaml.AliasEvent)]
        if aliases:
            line = aliases[0].start_mark.line + 1
            fault(line, "", "", "refers to another place by an alias (*)", "Write the text out.")
            return None
        node = yaml.compose(text, Loader=yaml.SafeLoader)
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        value = f"\\x{data[error.start]:02x}"
        fault(line, "", value, "is not UTF-8 text from here on", "Save the file as UTF-8.")
        return None
    except (yaml.YAMLError, RecursionError, ValueError) as error:
        mark = getattr(error, "problem_mark", None)
        problem = f"is not YAML ({getattr(error, 'problem', None) or 'it can not be read'})"
        remedy = "Mend the line; wording with a colon or # needs quotes around it."
        fault(mark.line + 1 if mark else 0, "", "", problem, remedy)
        return None
    if not isinstance(node, yaml.MappingNode):
        fault(0, "", "", "holds no keys", "Write lines such as `title: ...`.")
        return None
    return node


def mapping(node, place, fault):
    """Return the entries of a mapping as key: (line, node); a key given twice is reported."""
    entries = {}
    for key_node, value_node in node.value:
        line, key = key_node.start_mark.line + 1, str(getattr(key_node, "value", ""))
        if not isinstance(key_node.value, str):
            fault(line, place, "", "a key is no plain word", "Write `key: text`.")
        elif key in entries:
            problem = f"the key stands twice (first on line {entries[key][0]})"
            fault(line, place or key, key, problem, "Keep one of the two.")
        else:
            entries[key] = (line, value_node)
    return entries


def scalar(key, line, node, fault):
    """Return the text of a key, or None with the reason reported."""
    if not isinstance(node.value, str):
        fault(line, key, "", "holds more than one text", f"Write `{key}: text` on one line.")
        return None
    text = node.value.strip()
    if not text or (node.tag.endswith(":null") and node.style is None):
        fault(line, key, "", "is empty", "Write the text behind the colon.")
        return None
    return text


def is_edition(text):
    """Return whether a text is a year, a year and month, or a day."""
    if not re.fullmatch(r"\d{4}(-\d{2}(-\d{2})?)?", text, re.ASCII):
        return False
    try:
        date.fromisoformat(text + "-01-01"[len(text) - 4 :] if len(text) < 10 else text)
    except ValueError:
        return False
    return True


def populations(line, node, fault):
    """Return the declared populations and their labels."""
    if not isinstance(node.value, list) or (node.value and not isinstance(node.value[0], tuple)):
        fault(
            line, "populations", "", "is no list of `id: label`", "Write one line per population."
        )
        return {}
    found = {}
    if not node.value:
        fault(line, "populations", "", "declares no population", "Write one line per population.")
    for key_node, _ in node.value:
        text = str(key_node.value)
        whole = text.isdigit() and not text.startswith("0")  # 2026 stays 2026, 007 would be 7
        if key_node.tag != TEXT and not whole:
            problem = "is no text to a reader of YAML"
            where = key_node.start_mark.line + 1
            fault(where, "populations", text, problem, "Put quotes around it.")
    for key, (where, value) in mapping(node, "populations", fault).items():
        if not IDENTIFIER.fullmatch(key):
            remedy = "Use small letters a-z, digits, - and _ only."
            fault(where, "populations", key, "is no identifier", remedy)
        elif key == RESERVED:
            problem = f"'{RESERVED}' means all populations together"
            fault(where, "populations", key, problem, "Choose another id.")
        else:
            found[key] = scalar(f"populations.{key}", where, value, fault) or key
    return found
