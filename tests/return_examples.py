"""A small study whose people were asked, and what they send back, written by hand."""

import csv
import json

from felloe.collecting.asked import Consent
from felloe.collecting.kit.record import NAME as RECORD
from felloe.collecting.kit.record import Issued, record_text
from felloe.collecting.spreadsheet.writing import kit_workbook
from kit_example import CONSENT, EDITION, LABELS, STUDY, asked_of
from return_oracle import hash_by_definition, text_by_definition
from study_folder import PEOPLE, TERMS, write_folder

SHA256 = hash_by_definition(LABELS)


def order_of(person):
    """Return the terms as a person was shown them: rotated by their number."""
    n = [*PEOPLE].index(person)
    return [*TERMS[n % len(TERMS) :], *TERMS[: n % len(TERMS)]]


def write_asked(folder):
    """Write a study whose people were asked to sort and for colours, before any answer."""
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
    (folder / "consent.md").write_text(CONSENT, encoding="utf-8")  # minutes are kept
    for person in PEOPLE:
        (folder / "kit" / person).mkdir(parents=True)
        record = record_text({"colours": Issued({}, tuple(order_of(person)))})
        (folder / "kit" / person / RECORD).write_text(record, encoding="utf-8")
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
    """Return what the colour page saves for a person who decided on these terms alone."""
    left = [term for term in order_of(person) if term not in picks]
    told = answer(person, kind="colours", picks=picks, **{"unplaced": left, **changes})
    return {key: told[key] for key in told if key not in ("piles", "unknown")}


def issued_sheet(person):
    """Return the bytes of the spreadsheet that is sent to a person."""
    labels = {term: LABELS[term] for term in order_of(person)}
    return kit_workbook(asked_of(participant=person, consent=Consent(False), labels=labels))


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
    return text_by_definition(data) + "\n"
