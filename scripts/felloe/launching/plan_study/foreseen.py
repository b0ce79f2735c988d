"""The answers to: what would studies of this size show, and how many more people settle it?"""

from pathlib import Path

from felloe.foresight.making import planned_text, terms_each
from felloe.foresight.reading import assumed_for
from felloe.foresight.words import FINISHED, TOO_FEW
from felloe.ground.files.records import read_json
from felloe.launching.plan_study.planned import Planned

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
    asked = [*stated["terms_per_person"], design["terms_per_participant"]]
    sizes = {"people": sorted(set(stated["people"])), "each": terms_each(asked, n_terms)}
    about = {"pilot": design["pilot"], "code": project_code(ROOT)}
    return planned_text(assumed, sizes, about, planned.streams)


def how_many_more(planned: Planned) -> str:
    """Answer how many more people would settle a study that has been run and cannot tell."""
    from felloe.comparison.verdict import CANNOT
    from felloe.comparison.words import plan_sentence

    path = Path("results", planned.study, "comparison", "populations.json")
    if not path.is_file():
        return ""
    dossier = read_json(path)
    if dossier.get("verdict") != CANNOT:
        return ""
    return f"{FINISHED} {plan_sentence(dossier, planned.populations)}"
