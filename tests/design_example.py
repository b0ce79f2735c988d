"""The word `plan` typed for a study of seven terms, and what it leaves."""

import csv

from felloe.launching.plan_study.command import main
from study_folder import TERMS

SETTINGS = "studies: {brine: words}\ndesign: {whole_up_to: 0, terms_per_participant: 3}\n"
WORDS = [*TERMS, "tart"]  # seven terms, three each: the Fano plane
LATE = [["x1", "panel"], ["x2", "makers"]]


def plan(*typed):
    return main([*typed, "--configfile", "mine.yaml"])


def write():
    return plan("brine", "--write-design")


def bytes_of(here):
    return {path: path.read_bytes() for path in here.rglob("*") if path.is_file()}


def refused(capsys, here, *typed):
    """Return what a refusal says; nothing may have been written."""
    before = bytes_of(here)
    capsys.readouterr()
    assert plan(*typed) == 1
    assert bytes_of(here) == before
    said = capsys.readouterr()
    assert said.out == ""
    assert "Traceback" not in said.err
    assert len(said.err.splitlines()) < 20
    return said.err


def design(here):
    with open(here / "words" / "design.csv", encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def append(path, *rows):
    with open(path, "a", encoding="utf-8", newline="") as stream:
        csv.writer(stream, lineterminator="\n").writerows(rows)


def people_file(here):
    return here / "words" / "participants.csv"
