"""What a chart has to say before anybody uses it, on every product; each mark once."""

from collections.abc import Mapping
from typing import Any

from felloe.comparison.provisional_words import PROVISIONAL
from felloe.report.languages.language_words import Words

PREVIEW = (
    "PREVIEW: computed with few replicates, for trying things. Not to be published or decided on."
)
MARKS = {"provisional": PROVISIONAL, "preview": PREVIEW}  # by the keys of a chart that set them


def marks_of(chart: Mapping[str, Any]) -> list[str]:
    """Return which marks a chart bears, as codes; `chart` is either of both `chart.json`."""
    return [code for code in MARKS if chart[code]]


def mark_sentences(chart: Mapping[str, Any]) -> list[str]:
    """Return what the marks of a chart say, a sentence or two each."""
    return [MARKS[code] for code in marks_of(chart)]


def marks_told(chart: Mapping[str, Any], words: Words) -> list[str]:
    """Return what the marks of a chart say in the words of a language, a sentence or two each."""
    return [words[f"marks.{mark}"] for mark in marks_of(chart)]


def marked_title(chart: Mapping[str, Any], words: Words) -> str:
    """Return the title of a chart, with its marks in short."""
    short = marks_in_short(chart, words)
    title = str(chart["title"])
    return words.fill("marks.title", title=title, mark=short) if short else title


def marks_in_short(chart: Mapping[str, Any], words: Words) -> str:
    """Return the marks in short: for the middle of the wheel, which nobody cuts off."""
    return " \u00b7 ".join(words[f"marks.{mark}_short"] for mark in marks_of(chart))
