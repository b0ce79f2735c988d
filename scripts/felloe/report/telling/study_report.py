"""The report of a study: what was asked, what was found, how sure it is, and what to settle."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import yaml

from felloe import __version__
from felloe.circle import follow_words as circle_follow_words
from felloe.circle import words as circle_words
from felloe.circle.own import own_chart_words
from felloe.clustering import follow_words as clustering_follow_words
from felloe.clustering import words as clustering_words
from felloe.colours import follow_words as colours_follow_words
from felloe.colours import words as colour_words
from felloe.comparison import follow_words as comparison_follow_words
from felloe.comparison import sample_words
from felloe.comparison import words as comparison_words
from felloe.ground.files.writing import write_text
from felloe.matrices import recovery_words
from felloe.matrices.recovery_tables import simulated_studies
from felloe.report import mark_words
from felloe.report.telling import summary_words, translation_words
from felloe.report.telling.evidence import Evidence
from felloe.report.telling.first_use import explained
from felloe.report.telling.glossary_words import words_for
from felloe.report.telling.page import Page, render
from felloe.sensitivity import follow_words as sensitivity_follow_words
from felloe.sensitivity import words as sensitivity_words
from felloe.tiers import follow_words as tiers_follow_words
from felloe.tiers import question_words
from felloe.tiers import words as tiers_words
from felloe.validation import follow_words as validation_follow_words
from felloe.validation import partial_words, protocol_words
from felloe.validation import words as validation_words

PARTS = {  # of the page in their order: the sections that each holds, by anchor
    "tiers/questions": {"decide": "What you are asked to decide"},
    "tiers/decisions": {"decisions": "What was decided, and the price"},
    "tiers/page": {"tiers": "What is firm"},
    "validation/people": {"people": "Who sorted"},
    "comparison/pooling": {"pooling": "May the populations be pooled?"},
    "validation/page": {
        "asked": "What was asked",
        "sorting": "How people sorted, and how stable that is",
    },
    "comparison/page": {"compared": "The populations side by side, test by test"},
    "clustering/page": {
        "tree": "The tree and what supports it",
        "number": "How many classes",
    },
    "circle/page": {"ring": "The ring", "map": "The map"},
    "colours/page": {"colours": "Colours"},
    "sensitivity/page": {"sensitivity": "Would other choices give another chart?"},
    "report/telling/limits": {"limits": "Limits"},
    "report/telling/lexicon": {"lexicon": "The terms and their references"},
    "report/telling/cautions": {"cautions": "Cautions"},
    "tiers/regroupings": {"regroupings": "Other classes, and what they would cost"},
    "report/telling/glossary": {"words": "Words"},
    "report/telling/methods": {"methods": "Methods"},
    "validation/checks": {"checks": "What the checks of the files noticed"},
    "validation/protocol": {"fixed": "What was fixed beforehand"},
    "report/telling/rebuild": {"rebuild": "How to rebuild this, and the settings"},
    "report/telling/auditor": {"auditor": "For an auditor"},
}
READS = (
    "report/telling/report.html.j2",
    "report/telling/summary.html.j2",
    "circle/own_charts.html.j2",
    "tiers/questions.html.j2",
    "tiers/decisions.html.j2",
    "tiers/page.html.j2",
    "validation/people.html.j2",
    "comparison/pooling.html.j2",
    "validation/page.html.j2",
    "validation/partial.html.j2",
    "matrices/recovery.html.j2",
    "comparison/page.html.j2",
    "clustering/page.html.j2",
    "circle/page.html.j2",
    "colours/page.html.j2",
    "sensitivity/page.html.j2",
    "report/telling/limits.html.j2",
    "report/telling/lexicon.html.j2",
    "report/telling/cautions.html.j2",
    "tiers/regroupings.html.j2",
    "report/telling/glossary.html.j2",
    "report/telling/methods.html.j2",
    "validation/checks.html.j2",
    "validation/protocol.html.j2",
    "report/telling/rebuild.html.j2",
    "report/telling/auditor.html.j2",
)
TIERS, ABOUT = "tiers/published.csv", "validation/study.json"
# what follows from tables and figures, by the stage that they tell of
FOLLOWS = {
    "validation": validation_follow_words,
    "comparison": comparison_follow_words,
    "clustering": clustering_follow_words,
    "tiers": tiers_follow_words,
    "circle": circle_follow_words,
    "colours": colours_follow_words,
    "sensitivity": sensitivity_follow_words,
}
# what the parts of the page say in words, each by the stage that it tells of
WORDS = {
    "validation": validation_words,
    "partial": partial_words,
    "recovery": recovery_words,
    "protocol": protocol_words,
    "marks": mark_words,
    "comparison": comparison_words,
    "sampled": sample_words,
    "clustering": clustering_words,
    "summary": summary_words,
    "questions": question_words,
    "tiers": tiers_words,
    "circle": circle_words,
    "own_charts": own_chart_words,
    "colours": colour_words,
    "sensitivity": sensitivity_words,
    "translations": translation_words,
    "follows": FOLLOWS,
}


def write_report(
    path: str | Path, evidence: Evidence, study: str, settings: Mapping[str, Any]
) -> None:
    """
    Write the report.

    Parameters
    ----------
    path : str or Path
    evidence : Evidence
    study : str
    settings : dict
        As a settings file could hold them.
    """
    names = {row["class"]: row["class_name"] for row in evidence.select(TIERS)}
    page = Page(evidence, labels_of(evidence), names, base="../")
    in_parts = "partial" in evidence.record(ABOUT)
    glossary = words_for(in_parts)
    text = render(
        "report/telling/report.html.j2",
        page,
        study=study,
        settings=settings,
        version=__version__,
        classes=classes_of(evidence),
        populations=populations_of(evidence),
        in_parts=in_parts,
        words=WORDS,
        simulated=simulated_studies,
        parts=list(PARTS),
        contents=contents(),
        glossary=glossary,
        settings_text=yaml.safe_dump(dict(settings), sort_keys=False, allow_unicode=True),
    )
    write_text(path, explained(text, glossary))


def contents() -> list[tuple[str, str]]:
    """Return the sections of the page, each with its anchor, as they stand."""
    sections = [("wheel", "The wheel")]
    for part in PARTS.values():
        sections += part.items()
    return sections


def labels_of(evidence: Evidence) -> dict[str, str]:
    """Return the wording of terms, and of populations where no term has that id."""
    labels = dict(populations_of(evidence))
    labels["pooled"] = "all"
    for row in evidence.select("validation/terms.csv"):
        labels[row["term"]] = row["label"]
    return labels


def populations_of(evidence: Evidence) -> dict[str, str]:
    """Return population ids and their labels in the declared order."""
    labels: dict[str, str] = evidence.record(ABOUT)["populations"]
    return labels


def classes_of(evidence: Evidence) -> list[dict[str, Any]]:
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
    classes: dict[str, dict[str, Any]] = {}
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
