"""The wheel's page of a chart, and what it may tell."""

import json

from felloe.report.chart import chart_terms
from felloe.report.languages.language_words import interface_words
from felloe.report.screen.wheel_page import wheel_page
from felloe.report.typeface.shaping import typesetter

PAGE_WORDS = {k: v for k, v in interface_words("en").items() if k.startswith("page.")}
WEAK = 0.5


def written(chart):
    """Return the wheel's page of a chart."""
    return wheel_page(chart, typesetter(), WEAK)


def changed(chart, change):
    """Return a copy of a chart, each of its terms changed."""
    copy = json.loads(json.dumps(chart))
    for _, _, term in chart_terms(copy, True):
        change(term)
    return copy


def moved_beside(chart):
    """Return (decision, label of the term that it names) for every term that was moved."""
    labels = {term["id"]: term["label"] for _, _, term in chart_terms(chart, True)}
    decisions = [term["decision"] for _, _, term in chart_terms(chart) if term["decision"]]
    return [(decision, labels[decision["beside"]]) for decision in decisions]
