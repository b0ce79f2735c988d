"""The word `plan` typed for a study of seven terms, and what it leaves."""

import csv

from felloe.launching.plan_study.command import main
from study_folder import TERMS
from tables_as_text import read_texts
from typed_words import refusal

SETTINGS = "studies: {brine: words}\ndesign: {whole_up_to: 0, terms_per_participant: 3}\n"
WORDS = [*TERMS, "tart"]  # seven terms, three each: the Fano plane
LATE = [["x1", "panel"], ["x2", "makers"]]


def plan(*typed):
    return main([*typed, "--configfile", "mine.yaml"])


def write():
    return plan("brine", "--write-design")


def refused(capsys, here, *typed):
    """Return what a refusal says; nothing may have been written."""
    return refusal(capsys, here, plan, *typed)


def design(here):
    return read_texts(here / "words" / "design.csv")


def append(path, *rows):
    with open(path, "a", encoding="utf-8", newline="") as stream:
        csv.writer(stream, lineterminator="\n").writerows(rows)


def people_file(here):
    return here / "words" / "participants.csv"
