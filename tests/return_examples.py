"""A small study whose people were asked, and what they send back, written by hand."""

import base64
import csv
import hashlib
import json
import sys
from datetime import UTC, datetime
from types import ModuleType

from felloe.collecting.identity import Identity
from felloe.collecting.returned import Pile, Returned
from felloe.errors import Fault
from study_folder import PEOPLE, TERMS, write_folder

STUDY, EDITION = "brine", "2026"
SETTINGS = f"studies: {{{STUDY}: asked}}\n"
LABELS = {term: term.title() for term in TERMS}
# written out from the definition in `identity.py`, not by its function
SHA256 = hashlib.sha256(
    "".join(f"{term}\t{LABELS[term]}\n" for term in sorted(LABELS)).encode()
).hexdigest()
READING = "felloe.collecting.page.reading"


def order_of(person):
    """Return the terms as a person was shown them: rotated by their number."""
    n = [*PEOPLE].index(person)
    return [*TERMS[n % len(TERMS) :], *TERMS[: n % len(TERMS)]]


def write_asked(folder):
    """Write a study whose people were invited and issued their terms, before any answer."""
    design = [
        [person, term, str(place)]
        for person in PEOPLE
        for place, term in enumerate(order_of(person), 1)
    ]
    people = [[person, population] for person, population in PEOPLE.items()]
    changed = {
        "sorts.csv": None,
        "participants.csv": None,
        **dict.fromkeys(("names.csv", "decisions.csv", "colours.csv")),
        "terms.csv": [["term", "label"], *([term, label] for term, label in LABELS.items())],
        "invitations.csv": [["participant", "population"], *people],
        "design.csv": [["participant", "term", "position"], *design],
    }
    write_folder(folder, changed)
    (folder / "returns").mkdir()
    return folder


def answer(person, **changes):
    """Return what the page saves for a person: two piles, one unknown word."""
    terms = order_of(person)
    told = {
        "form": "felloe-return-1",
        "kind": "sort",
        "study": STUDY,
        "edition": EDITION,
        "participant": person,
        "terms": SHA256,
        "language": "en",
        "saved": "2026-03-01T10:00:00Z",
        "piles": [
            {"words": f"Sharp  {person}", "terms": terms[:2]},
            {"words": "", "terms": terms[2:5]},
        ],
        "unknown": terms[5:],
        "unplaced": [],
    }
    return {**told, **changes}


def colour_answer(person, picks, **changes):
    """Return what the colour page saves for a person."""
    told = answer(person, kind="colours", picks=picks, **changes)
    return {key: told[key] for key in told if key not in ("piles", "unknown")}


def put(folder, name, told):
    """Put an answer into `returns/`."""
    path = folder / "returns" / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(json.dumps(told, ensure_ascii=False), encoding="utf-8")
    return path


def put_tally(folder, name, rows):
    """Put a tally table into `returns/`."""
    path = folder / "returns" / name
    with open(path, "w", encoding="utf-8", newline="") as stream:
        csv.writer(stream).writerows(rows)
    return path


def tally_rows(person, piles, **cells):
    """Return the rows of a tally: the pile of every card in the order of cards."""
    fixed = {"study": STUDY, "participant": person, "terms": SHA256[:8], **cells}
    return [[*fixed.values(), str(card), pile] for card, pile in enumerate(piles, 1)]


TALLY = ["study", "participant", "terms", "card", "pile"]


def copied_text(told):
    """Return the text that the page shows to be copied."""
    data = json.dumps(told, ensure_ascii=False, separators=(",", ":")).encode()
    text = base64.b64encode(data).decode()
    lines = [text[start : start + 60] for start in range(0, len(text), 60)]
    check = hashlib.sha256(data).hexdigest()[:8]
    return "\n".join(["felloe return begins", *lines, f"felloe return ends {check}", ""])


def plain_reader(data, shown):
    """Read what the page saved, where the page's own reader is not there."""
    try:
        told = json.loads(data)
        saved = told.get("saved")
        named = [told[key] for key in ("kind", "study", "edition", "participant", "terms")]
        if not all(isinstance(each, str) for each in named) or named[0] not in ("sort", "colours"):
            raise TypeError
        piles = [(tuple(pile["terms"]), pile["words"]) for pile in told.get("piles", [])]
        lists = [told.get("unknown", []), told["unplaced"], *(terms for terms, _ in piles)]
        texts = [term for terms in lists for term in terms] + [words for _, words in piles]
        if not all(isinstance(text, str) for text in texts) or isinstance(lists[0], str):
            raise TypeError
        picks = {str(term): str(colour) for term, colour in told.get("picks", {}).items()}
        minutes = told.get("minutes")
        returned = Returned(
            source=shown,
            identity=Identity(*named),
            saved=datetime.fromisoformat(saved).astimezone(UTC) if saved else None,
            piles=tuple(Pile(terms, words) for terms, words in piles),
            unknown=tuple(lists[0]),
            unplaced=tuple(lists[1]),
            minutes=None if minutes is None else float(minutes),
            picks=picks,
        )
    except (ValueError, TypeError, KeyError, AttributeError):
        return None, [Fault(shown, problem="is no answer", remedy="Ask for it anew.")]
    return returned, []


def with_a_reader(monkeypatch):
    """Let returns be read by the page's own reader, or by the plain one."""
    try:
        __import__(READING)
    except ImportError:
        module = ModuleType(READING)
        module.read_return = plain_reader
        monkeypatch.setitem(sys.modules, "felloe.collecting.page", ModuleType("page"))
        monkeypatch.setitem(sys.modules, READING, module)
