"""Paths of terms as rows of their table."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from felloe.ground.files.tables import Row
from felloe.timeline.follow import Followed, Stop
from felloe.timeline.paths import Path


@dataclass(frozen=True)
class Wording:
    """
    What an edition calls its terms and classes.

    Attributes
    ----------
    labels, class_names : dict of str to str
        By the term's id, and by the class's.
    lines : dict of str to int
        Of its classes.
    """

    labels: Mapping[str, str]
    class_names: Mapping[str, str]
    lines: Mapping[str, int]


def row_of(one: Followed, stops: Sequence[Stop], wordings: Sequence[Wording]) -> Row:
    """Return the row of a path."""
    path, last = one.path, one.path.places[-1]
    found = one.entropy
    row: Row = {
        "path": path.name,
        "term": path.last_term,
        "label": wordings[last].labels[path.last_term],
        "first": stops[path.places[0]].study,
        "last": stops[last].study,
        "editions": len(path.places),
        "moves": len(one.moves),
        "surest": one.surest,
        "entropy": found and found.total,
        "entropy_replicates": found and found.replicates,
        "entropy_editions": found and found.editions,
    }
    for place, stop in enumerate(stops):
        here = {**stop_cells(path, place, stop, wordings[place]), **came_cells(one, place)}
        row |= {f"{what}:{stop.study}": value for what, value in here.items()}
    return row


def stop_cells(path: Path, place: int, stop: Stop, wording: Wording) -> dict[str, Any]:
    """Return what an edition says of a path's term; nothing where it does not have it."""
    term = path.terms[place]
    if term is None:
        return dict.fromkeys(("term", "label", "class", "class_name", "line", "probability"))
    name = stop.classes[term]
    return {
        "term": term,
        "label": wording.labels[term],
        "class": name,
        "class_name": wording.class_names[name],
        "line": wording.lines[name],
        "probability": stop.probabilities[term],
    }


def came_cells(one: Followed, place: int) -> dict[str, Any]:
    """Return how a path came into an edition; nothing for the first of the list."""
    if place == 0:
        return {}
    step = one.path.steps[place]
    return {
        "change": step and step.change,
        "migration": one.grades[place],
        "reason": step and (step.reason or None),
    }


def former_label(row: Row, study: str) -> str:
    """Return what a path was called in the last edition that had it before one; "" for none."""
    studies = [name.partition(":")[2] for name in row if name.startswith("term:")]
    before = studies[: studies.index(study)]
    return next((str(row[f"label:{each}"]) for each in reversed(before) if row[f"term:{each}"]), "")
