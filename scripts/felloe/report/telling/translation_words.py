"""What the report says of the chart's further languages."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from felloe.report.languages.language_words import interface_words
from felloe.report.telling.evidence import Evidence

CHART = re.compile(r"report/chart\.(.+)\.json")
OF_TIER = {"class": " (class)", "subclass": " (subclass)", "term": ""}
MANY = {"definition": "definitions", "reference": "references", "caution": "cautions"}


@dataclass(frozen=True)
class Language:
    """
    How much of a chart is translated into one language.

    Attributes
    ----------
    language : str
        Its tag.
    file : str
        The chart in it, relative to the results.
    labels : list of str
        What has no label in it, in the study's own language.
    texts : str
        Which other texts lack a translation, of some terms at least.
    notice : str
        That there are no interface words in it, or "".
    """

    language: str
    file: str
    labels: list[str]
    texts: str
    notice: str


def languages(evidence: Evidence) -> list[Language]:
    """Return what is said of each further language, by tag."""
    files = sorted(name for name in evidence.paths if CHART.fullmatch(name))
    return [told(name, evidence.record(name)) for name in files]


def told(file: str, chart: dict[str, Any]) -> Language:
    """Return what is said of one chart in another language."""
    names = given_names(chart)
    lacking = chart["untranslated"]
    parts = [
        words for part, words in MANY.items() if any(part in each["parts"] for each in lacking)
    ]
    words = interface_words(chart["language"])
    return Language(
        language=chart["language"],
        file=file,
        labels=[
            names[each["tier"], each["id"]] + OF_TIER[each["tier"]]
            for each in lacking
            if "label" in each["parts"] and (each["tier"], each["id"]) in names
        ],
        texts=" and ".join([", ".join(parts[:-1]), *parts[-1:]] if parts[1:] else parts),
        notice=f"Buttons and headings are in '{words.language}'." if words.notice else "",
    )


def given_names(chart: dict[str, Any]) -> dict[tuple[str, str], str]:
    """Return the wording of terms and groups by tier and id, but for names that are proposals."""
    found: dict[tuple[str, str], str] = {}
    for class_ in chart["classes"]:
        for tier, group in (("class", class_), *(("subclass", s) for s in class_["subclasses"])):
            if not group["name_is_proposal"]:  # the term that stands in is told itself
                found[tier, group["id"]] = group["name"]
        for subclass in class_["subclasses"]:
            terms: Iterable[dict[str, Any]] = subclass["terms"] + subclass["absorbed"]
            found.update({("term", term["id"]): term["label"] for term in terms})
    return found
