"""The answers to: what would studies of this size show, and how many more people settle it?"""

from collections import Counter
from pathlib import Path
from statistics import median_low
from typing import Any

from felloe.allocation.allocating import shown_to_each
from felloe.foresight.making import planned_text, terms_each
from felloe.foresight.own import Own, sources_of
from felloe.foresight.reading import NOT_OURS, assumed_for
from felloe.foresight.words import FINISHED, OTHERWISE_MADE, PARTS, TOO_FEW, folded
from felloe.ground.files.records import read_json
from felloe.launching.plan_study.planned import Planned
from felloe.settings import resolve
from felloe.settings_merged import Settings

FEWEST_TERMS = 20  # a smaller lexicon has no three tiers, and everybody sorts it whole
ROOT = Path(__file__).resolve().parents[4]


def what_to_expect(planned: Planned) -> str:
    """Answer what studies of several sizes would show; table and figure stand in `plans/`."""
    n_terms, design = len(planned.terms), planned.settings["design"]
    if n_terms < FEWEST_TERMS:
        return TOO_FEW.format(terms=n_terms, fewest=FEWEST_TERMS)
    from felloe.versions import project_code

    assumed = assumed_for(planned.settings, n_terms, planned.streams)
    stated = design["assumptions"]
    asked = [*stated["terms_per_person"], shown_to_each(design, n_terms)]
    sizes = {"people": sorted(set(stated["people"])), "each": terms_each(asked, n_terms)}
    about = {**about_of(planned.settings), "code": project_code(ROOT)}
    return planned_text(assumed, sizes, about, planned.streams, own_of(planned))


def about_of(settings: Settings) -> dict[str, Any]:
    """Return what a plan is held against, and where its assumptions come from."""
    return {
        "pilot": settings["design"]["pilot"],
        "sources": sources_of(settings, resolve({})["design"]["assumptions"]),
        "target": settings["stability"]["target"],
        "margin": settings["comparison"]["margins"]["reliability"],
    }


def own_of(planned: Planned) -> Own:
    """Return what the study itself is like: its lists of people, and the terms they are shown."""
    if not planned.people:
        return Own(shown_to_each(planned.settings["design"], len(planned.terms)))
    number = Counter(planned.people.values())
    each = median_low(len(terms) for terms in planned.sets_of(None))
    smaller = min(number.values()) / number.total() if len(number) == 2 else None
    return Own(each, number.total(), smaller)


def how_many_more(planned: Planned) -> str:
    """Answer how many more people would settle a study that has been run and cannot tell."""
    from felloe.comparison.verdict import CANNOT
    from felloe.comparison.words import plan_sentence, ways_to_settle

    path = Path("results", planned.study, "comparison", "populations.json")
    if not path.is_file():
        return ""
    try:
        dossier = read_json(path)
        if dossier["verdict"] != CANNOT:
            return ""
        labels = {name: name for name in dossier["populations"]} | planned.populations
        parts = [FINISHED.format(path=path), plan_sentence(dossier, labels)]
        if planned.issued and ways_to_settle(dossier["plan"], labels):
            parts.append(PARTS)
    except NOT_OURS:
        return OTHERWISE_MADE.format(path=path)
    return "\n".join(folded(part) for part in parts if part)
