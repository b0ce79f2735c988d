"""The record of a timeline: numbers and codes."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from felloe.timeline.classes import BORN, GONE, JOINED, PARTED, Held
from felloe.timeline.follow import MOVES, Between, Timeline
from felloe.timeline.paths import RETURNED
from felloe.timeline.reading import Read

Record = dict[str, Any]


def timeline_record(
    read: Sequence[Read],
    compared: Sequence[Mapping[str, Any]],
    between: Sequence[Between],
    found: Timeline,
) -> Record:
    """
    Put a timeline into one record.

    Parameters
    ----------
    read : sequence of Read
        The editions, oldest first.
    compared : sequence of mapping
        The `comparison.json` of each with the next.
    between : sequence of Between
        The same as it was used.
    found : Timeline

    Returns
    -------
    dict
        See `workflow/schemas/records/timeline.timeline.schema.yaml`.
    """
    studies = [each.stop.study for each in read]
    sides = [compared[0]["older"], *(one["newer"] for one in compared)]
    return {
        "editions": [edition_record(*pair) for pair in zip(read, sides, strict=True)],
        "pairs": [
            pair_record(studies[i], studies[i + 1], found, i + 1, each.found)
            for i, each in enumerate(between)
        ],
        "paths": paths_record(found),
        "classes": [
            class_record(one, read[place], compared)
            for place, here in enumerate(found.held)
            for one in here
        ],
        "entropy": entropy_record(found),
        "drawing": {
            "crossings_start": found.arranged.crossings_start,
            "crossings": found.arranged.crossings,
            "columns": [
                [{"band": name, "members": names} for name, names in column]
                for column in found.arranged.columns
            ],
        },
        "same_instruction": all(one["same_instruction"] for one in compared),
        "preview": any(one["preview"] for one in compared),
    }


def edition_record(read: Read, side: Mapping[str, Any]) -> Record:
    """Return who an edition is, from its study's own words."""
    return {
        "study": read.stop.study,
        "title": read.about["title"],
        "edition": str(read.about["edition"]),
        "n_terms": len(read.stop.classes),
        "n_classes": len(set(read.stop.classes.values())),
        "provisional": side["provisional"],
    }


def pair_record(older: str, newer: str, found: Timeline, place: int, corresponds: bool) -> Record:
    """Return what happened from one edition to the next: steps by change, moves by grade."""
    taken = {
        step: one.grades[place]
        for one in found.followed
        if (step := one.path.steps[place]) is not None
    }
    steps = {step: grade for step, grade in taken.items() if step.change != RETURNED}
    changes = Counter(step.change for step in steps)
    grades = Counter(str(grade) for grade in steps.values())
    began = Counter(one.began for one in found.held[place])
    ended = Counter(one.ended for one in found.held[place - 1])
    return {
        "older": older,
        "newer": newer,
        "found": corresponds,
        "steps": dict(sorted(changes.items())),
        "returned": len(taken) - len(steps),
        "moves": {grade: grades[grade] for grade in MOVES},
        "classes": {
            "born": began[BORN],
            "split": began[PARTED],
            "gone": ended[GONE],
            "joined": ended[JOINED],
        },
    }


def paths_record(found: Timeline) -> Record:
    """Return how many paths there are, and how many of them are what."""
    number, last = len(found.held), len(found.held) - 1
    followed = found.followed
    return {
        "number": len(followed),
        "throughout": sum(len(one.path.places) == number for one in followed),
        "moved": sum(bool(one.moves) for one in followed),
        **{grade: sum(one.surest == grade for one in followed) for grade in MOVES},
        "several": sum(len(one.moves) > 1 for one in followed),
        "ended": sum(one.path.places[-1] != last for one in followed),
        "returned": sum(
            any(s and s.change == RETURNED for s in one.path.steps) for one in followed
        ),
    }


def class_record(one: Held, read: Read, compared: Sequence[Mapping[str, Any]]) -> Record:
    """Return a class of an edition with where it came from and what became of it."""
    told = asdict(one)
    place = told.pop("place")
    members = sum(name == one.id for name in read.stop.classes.values())
    return {
        "study": read.stop.study,
        "name": read.class_names[one.id],
        "n_terms": members,
        **told,
        "from_origin": shared(compared, place - 1, (one.origin, one.id), "n_newer"),
        "in_into": shared(compared, place, (one.id, one.into), "n_older"),
    }


def shared(
    compared: Sequence[Mapping[str, Any]], place: int, pair: tuple[str | None, str | None], of: str
) -> Record | None:
    """Return how many of a class's common terms another edition's class shares; None for none."""
    if None in pair:
        return None
    (row,) = (row for row in compared[place]["classes"] if (row["older"], row["newer"]) == pair)
    return {"shared": row["n_shared"], "common": row[of]}


def entropy_record(found: Timeline) -> Record:
    """Return the means of the entropies over paths; null where they are not known."""
    told = [one.entropy for one in found.followed if one.entropy is not None]

    def mean(values: list[float]) -> float | None:
        return sum(values) / len(values) if values else None

    return {
        "unit": "nats",
        "total": mean([one.total for one in told]),
        "replicates": mean([one.replicates for one in told]),
        "editions": mean([one.editions for one in told]),
    }
