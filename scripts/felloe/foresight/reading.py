"""What a plan rests on, from the settings or from the results of a pilot."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np

from felloe.errors import StudyError
from felloe.foresight.assumptions import Habits, Truth, even_truth, like_truth
from felloe.foresight.pilot import habits_of
from felloe.foresight.plan import Assumed, sizes_of
from felloe.ground.files.records import read_json
from felloe.ground.groups.ranges import GroupNumbers
from felloe.ground.people.halves import FEWEST_FOR_HALVES
from felloe.ground.people.sorts import Sorts
from felloe.ground.randomness import Streams
from felloe.tiers.tables import DATA_ONLY
from felloe.validation.analysed import read_analysed

ANALYSED = "validation/analysed.csv"
STUDY = "validation/study.json"
NOT_OURS = (ValueError, LookupError, TypeError, AttributeError)  # of files that we did not write so


def assumed_for(settings: Mapping[str, Any], n_terms: int, streams: Streams) -> Assumed:
    """
    Return what the plan of a study rests on.

    Parameters
    ----------
    settings : dict
    n_terms : int
        Of the lexicon that is planned for.
    streams : felloe.ground.randomness.Streams

    Returns
    -------
    Assumed

    Raises
    ------
    StudyError
        Naming the key that cannot be meant, and what to write.
    """
    design = settings["design"]
    stated = design["assumptions"]
    check_people(stated)
    if design["pilot"] is None:
        truth = stated_truth(stated, settings["tiers"], n_terms)
        habits = Habits(stated["coarse"], stated["astray"])
    else:
        truth, habits = from_pilot(settings, n_terms, streams)
    return Assumed(
        truth=truth,
        habits=habits,
        smaller_share=stated["smaller_population"],
        prior=settings["matrices"]["prior"],
        linkage=settings["comparison"]["linkage"],
        alpha=settings["comparison"]["margins"]["alpha"],
    )


def check_people(stated: Mapping[str, Any]) -> None:
    """Raise the fault of numbers of people that leave a population without two halves."""
    for number in stated["people"]:
        smaller = sizes_of(number, stated["smaller_population"])[1]
        if smaller < FEWEST_FOR_HALVES:
            raise StudyError(
                f"design.assumptions.people: of {number} people {smaller} belong to the smaller "
                f"population (smaller_population: {stated['smaller_population']}); two halves take "
                f"{FEWEST_FOR_HALVES}. Name more people, or a larger share."
            )


def stated_truth(stated: Mapping[str, Any], tiers: Mapping[str, Any], n_terms: int) -> Truth:
    """Return the groups that the settings state; what they leave open comes from `tiers`."""
    keys = ("classes", "classes_range", "subclasses", "subclasses_range")
    usual = GroupNumbers(**{key: tiers[key] for key in keys}).common(n_terms)
    classes = stated["classes"] or usual[0]
    each = stated["subclasses_per_class"] or max(1, round(usual[1] / classes))
    if classes * each > n_terms:
        raise StudyError(
            f"design.assumptions: {classes} classes of {each} subclasses (classes, "
            f"subclasses_per_class) need {classes * each} terms at least; terms.csv has {n_terms}. "
            "Write smaller numbers, or null for what `tiers` says."
        )
    return even_truth(n_terms, classes, each)


def pilot_folder(settings: Mapping[str, Any]) -> Path:
    """Return the folder with the results of the pilot, or say what is missing."""
    named = settings["design"]["pilot"]
    folder = Path("results", named) if named in settings["studies"] else Path(named)
    for name in (STUDY, ANALYSED, DATA_ONLY.path):
        if not (folder / name).is_file():
            raise StudyError(
                f"design.pilot: '{named}': {folder / name} is missing. Name a study of these "
                "settings that has been run here, or a folder with the results of one (with "
                "people), or write null to plan from design.assumptions."
            )
    return folder


def from_pilot(settings: Mapping[str, Any], n_terms: int, streams: Streams) -> tuple[Truth, Habits]:
    """Return groups and habits as a finished study shows them."""
    folder = pilot_folder(settings)
    try:
        sorts, truth = read_pilot(folder, settings["matrices"]["prior"])
    except NOT_OURS as error:
        raise StudyError(
            f"design.pilot: what stands in {folder} is not whole, or another version made it. Run "
            "the pilot again, or write pilot: null."
        ) from error
    if len(sorts.piles) < FEWEST_FOR_HALVES:
        raise StudyError(
            f"design.pilot: {folder} has sorts of {len(sorts.piles)} people; how far people agree "
            f"takes {FEWEST_FOR_HALVES}. Write pilot: null."
        )
    if truth.numbers[0] < 2 or truth.numbers[1] > n_terms:
        raise StudyError(
            f"design.pilot: the pilot has {truth.numbers[0]} classes and {truth.numbers[1]} "
            f"subclasses, terms.csv has {n_terms} terms. Write pilot: null."
        )
    return like_truth(truth, n_terms), habits_of(sorts.piles, truth, sorts.prior, streams)


def read_pilot(folder: Path, prior: float) -> tuple[Sorts, Truth]:
    """Return the sorts of a pilot, with `prior` if they are partial, and its groups."""
    partial = read_json(folder / STUDY).get("partial", False)
    sorts = read_analysed(folder / ANALYSED, prior if partial else None)
    rows = {row["term"]: row for row in DATA_ONLY.read(folder / DATA_ONLY.path)}
    numbered = [
        np.unique([rows[term][tier] for term in sorts.terms], return_inverse=True)[1]
        for tier in ("class", "subclass")
    ]
    return sorts, Truth(*numbered)
