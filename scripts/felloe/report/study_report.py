"""The report of a study: what was asked, what was found, how sure it is, and what to settle."""

from collections import Counter

import yaml

from felloe import __version__
from felloe.clustering import words as clustering_words
from felloe.comparison import words as comparison_words
from felloe.ground.writing import write_text
from felloe.report.manifest import settings_of_study
from felloe.report.page import Page, render
from felloe.report.remarks import (
    granularity_of,
    pooling_remarks,
    reasons_of,
    targets_reached,
    weak_neighbours,
)
from felloe.sensitivity import words as sensitivity_words

TIERS = "tiers/published.csv"
# what the parts of the page say in words, each by the stage that it tells of
WORDS = {
    "clustering": clustering_words,
    "comparison": comparison_words,
    "sensitivity": sensitivity_words,
}
UNSETTLED = ("undecided", "doubtful")
CRITERION_STYLES = {"related": "p", "no_difference_found": "p", "no_change": "count"}


def write_report(path, evidence, study, settings):
    """
    Write the report.

    Parameters
    ----------
    path : str or Path
    evidence : Evidence
    study : str
    settings : dict
        The resolved settings.
    """
    names = {row["class"]: row["class_name"] for row in evidence.select(TIERS)}
    page = Page(evidence, labels_of(evidence), names, base="../")
    text = render(
        "report/report.html.j2",
        page,
        study=study,
        settings=settings_of_study(settings, study),
        version=__version__,
        classes=classes_of(evidence),
        populations=populations_of(evidence),
        words=WORDS,
        left_out=reasons_for_leaving_out(evidence),
        unsettled=unsettled_terms(evidence),
        criterion_styles=CRITERION_STYLES,
        granularity=granularity_of(evidence),
        weak=weak_neighbours(evidence),
        reached=targets_reached(evidence),
        **pooling_remarks(evidence),
        settings_text=yaml.safe_dump(
            settings_of_study(settings, study), sort_keys=False, allow_unicode=True
        ),
    )
    write_text(path, text)


def labels_of(evidence):
    """Return the wording of terms, and of populations where no term has that id."""
    labels = dict(populations_of(evidence))
    labels["pooled"] = "all"
    for row in evidence.select("validation/terms.csv"):
        labels[row["term"]] = row["label"]
    return labels


def populations_of(evidence):
    """Return population ids and their labels in the declared order."""
    return evidence.record("validation/study.json")["populations"]


def classes_of(evidence):
    """
    Return the published classes around the circle, each with its subclasses and terms.

    Returns
    -------
    list of dict
        `id`, `name`, `terms` (rows of the published tiers) and `subclasses` (list of dict with
        `id`, `name`, `terms`).
    """
    rows = {row["term"]: row for row in evidence.select(TIERS)}
    ring = [row["term"] for row in evidence.select("circle/order.csv") if row["term"] in rows]
    order = ring + [term for term in rows if term not in set(ring)]
    classes = {}
    for term in order:
        row = rows[term]
        found = classes.setdefault(
            row["class"],
            {"id": row["class"], "name": row["class_name"], "terms": [], "subclasses": {}},
        )
        found["terms"].append(row)
        part = found["subclasses"].setdefault(
            row["subclass"], {"id": row["subclass"], "name": row["subclass_name"], "terms": []}
        )
        part["terms"].append(row)
    return [
        {**found, "subclasses": list(found["subclasses"].values())} for found in classes.values()
    ]


def reasons_for_leaving_out(evidence):
    """Return how many participants of each population were left out for which reason."""
    excluded = evidence.select("validation/participants.csv", status="excluded")
    counts = Counter((row["population"], row["reason"]) for row in excluded)
    return [
        {"population": population, "reason": reason, "n": n}
        for (population, reason), n in sorted(counts.items())
    ]


def unsettled_terms(evidence):
    """Return the rows of doubtful and undecided terms with their reasons, the undecided first."""
    rows = [row for row in evidence.select(TIERS) if row["status"] in UNSETTLED]
    rows = reasons_of(evidence, rows)
    return sorted(rows, key=lambda row: (UNSETTLED.index(row["status"]), row["term"]))
