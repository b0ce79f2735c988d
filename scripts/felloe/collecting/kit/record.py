"""`issued.json` beside a person's kit: what it was made from, so that a change is seen."""

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from felloe.collecting.asked import Asked
from felloe.collecting.identity import Kind
from felloe.errors import Fault
from felloe.ground.files.records import json_text, read_json

NAME = "issued.json"
FORM = "felloe-kit-1"
MOST_BYTES = 1 << 20  # a thousand terms of 64 letters have some 70 thousand
PARTS = ("edition", "terms", "order", "language", "instruction", "consent", "cards")
CURE = "Put it back from a copy, or move the whole folder away: a kit is made anew."


@dataclass(frozen=True)
class Issued:
    """
    One kit as it was given to one person.

    Attributes
    ----------
    parts : dict of str to str
        By name of `PARTS`: what it was made from, long texts as their SHA-256.
    order : tuple of str
        Terms as they are shown.
    files : dict of str to str
        SHA-256 of every file, by name.
    """

    parts: Mapping[str, str]
    order: tuple[str, ...]
    files: Mapping[str, str] = field(default_factory=dict)

    def record(self) -> dict[str, Any]:
        """Return the kit as it is written."""
        return {"parts": dict(self.parts), "order": list(self.order), "files": dict(self.files)}


def parts_of(asked: Asked) -> dict[str, str]:
    """Return what a kit is made from, each part by its name."""
    cards = sorted((card.term, card.label, card.definition) for card in asked.cards)
    return {
        "edition": asked.identity.edition,
        "terms": asked.identity.terms,
        "order": hash_of([card.term for card in asked.cards]),
        "language": asked.language,
        "instruction": hash_of([asked.title, asked.instruction]),
        "consent": hash_of([str(value) for value in vars(asked.consent).values()]),
        "cards": hash_of([text for card in cards for text in card]),
    }


def hash_of(texts: Iterable[str]) -> str:
    """Return the SHA-256 of texts in their order."""
    return hashlib.sha256(json.dumps(list(texts), ensure_ascii=False).encode()).hexdigest()


def differences(issued: Issued, asked: Asked) -> list[str]:
    """Return the parts in which a kit made now would differ."""
    now = parts_of(asked)
    return [name for name in PARTS if issued.parts.get(name) != now[name]]


def read_record(folder: Path) -> tuple[dict[Kind, Issued], list[Fault]]:
    """
    Read what was given to one person.

    Parameters
    ----------
    folder : Path
        The person's.

    Returns
    -------
    issued : dict of str to Issued
        By kind; nothing where there is no record.
    faults : list of Fault
    """
    path = folder / NAME
    if not path.is_file():
        return {}, []
    try:
        if path.stat().st_size > MOST_BYTES:
            raise ValueError("too long")
        return kits_of(read_json(path)), []
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        problem = "is not the record that was written here"
        return {}, [Fault(str(path), problem=problem, remedy=CURE)]


def kits_of(content: Any) -> dict[Kind, Issued]:
    """Return the kits of a record that was read, or raise what is wrong with it."""
    if content["form"] != FORM:
        raise ValueError("another form")
    kinds: tuple[Kind, ...] = ("sort", "colours")
    found: dict[Kind, Issued] = {}
    for kind in kinds:
        if kind in content:
            kit = content[kind]
            parts = {str(name): str(text) for name, text in kit["parts"].items()}
            order = tuple(str(term) for term in kit["order"])
            files = {str(name): str(text) for name, text in kit["files"].items()}
            found[kind] = Issued(parts, order, files)
    return found


def record_text(issued: Mapping[Kind, Issued]) -> str:
    """Return the record of one person."""
    return json_text({"form": FORM, **{kind: issued[kind].record() for kind in sorted(issued)}})
