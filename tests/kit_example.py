"""A small study before its kits are made, and what one person of it is asked."""

from felloe.collecting.asked import Asked, Card, Consent
from felloe.collecting.identity import Identity, hash_of_terms
from study_folder import TERMS, with_text, write_folder, write_rows
from tables_as_text import read_texts

CONSENT = """\
---
purpose: The guild revises its vocabulary.
stored: Your piles, under a code.
withdraw: Write to the secretary at any time.
contact: Secretary of the guild
minutes: yes
---
Taking part is voluntary.
It takes an hour.

You may stop.
"""
GERMAN = CONSENT.replace("---\np", "---\ninstruction: Legen Sie zusammen, was passt.\np", 1)
INVITED = [["participant", "population", "language"], ["p1", "panel", ""], ["m1", "makers", ""]]
LABELS = {term: term.title() for term in TERMS}
STUDY, EDITION = "brine", "2026"
SETTINGS = f"studies: {{{STUDY}: asked}}\n"


def write_asking(folder):
    """Write a study with people invited and nobody asked yet."""
    tables = dict.fromkeys(
        ("sorts.csv", "participants.csv", "names.csv", "decisions.csv", "colours.csv")
    )
    write_folder(folder, {**tables, "invitations.csv": INVITED})
    (folder / "consent.md").write_text(CONSENT, encoding="utf-8")
    return folder


def invite(here, *rows):
    """Write the invitations again, with more people."""
    write_rows(here / "asked" / "invitations.csv", [*INVITED, *rows])


def edit(here, name, old, new):
    """Write a file of the study in other words."""
    with_text(name, old, new)(here / "asked")


def design(here):
    return read_texts(here / "asked" / "design.csv")


def asked_of(kind="sort", participant="p1", consent=None, labels=None, study=STUDY, **changes):
    """Return what one person is asked, terms in the order given."""
    labels = labels or LABELS
    identity = Identity(kind, study, EDITION, participant, hash_of_terms(labels))
    told = {
        "language": "en",
        "title": "Words of the brine",
        "instruction": "Put together what belongs together.",
        "consent": consent or Consent(True, "Why.", "What.", "How.", "Who.", "More.", True),
        "cards": tuple(Card(term, label) for term, label in labels.items()),
    }
    return Asked(identity, **{**told, **changes})
