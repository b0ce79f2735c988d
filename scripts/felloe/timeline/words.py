"""What a timeline amounts to, in words: sentences of its page."""

from collections.abc import Mapping, Sequence
from typing import Any

from felloe.editions.correspondence import NO_CORRESPONDENCE, NOISE, NONE, POSSIBLE, ROBUST
from felloe.ground.files.tables import Row
from felloe.timeline.classes import BORN, CONTINUED, FIRST, GONE, JOINED, PARTED
from felloe.timeline.follow import NOT_COMPARED
from felloe.timeline.paths import KEPT, RETURNED
from felloe.timeline.rows import former_label

PATHS = (
    "A term's path is told from what each pair of neighbouring editions says became of it: the "
    "same id, or what was declared (renamed, redefined, split, merged, retired, new). A term that"
    " was split has several paths that begin alike; terms that were merged have paths that end "
    "alike. An id that was gone for an edition or more and is there again has come back: nobody "
    "compared its classes across the gap, so such a return is never called a move."
)
CLASSES = (
    "Classes are followed by the correspondence of each two neighbouring editions, never by name."
    " A class continues the older one that it is matched with better than chance. One that "
    "continues none was split from the older class that holds more than half of its common terms,"
    " if there is one, and else is born. An older class that none continues has joined the newer "
    "class that holds more than half of its common terms, if there is one, and else is gone."
    " In brackets stands how many of its common terms that are: of one or two, little follows."
)
MOVES = (
    "A move is a change of class that the classes' own correspondence does not explain, graded as"
    " between two editions: robust, possible or noise, by how often replicates of either study "
    "put the term into its class. A part of a split or merged term is held against the same "
    "correspondence. Over several editions there are more chances to be wrong: a robust move in "
    "one of many terms and several comparisons may be chance."
)
ENTROPY = (
    "How unsure a term's class is, over all editions and their replicates: with p the share of an"
    " edition's replicates that put the term into a class, and q the mean of p over the editions "
    "that have the term, the entropy is \u2212\u2211 q ln q, in nats; classes that continue one "
    "another are one class, one that was split off is another, and what fell into no class of its"
    " chart is one more. It is 0 for a term that was always in one class, and 0.69 (ln 2) for one"
    " that is in either of two half of the time. It has two parts: the mean of the editions' own "
    "entropies (people disagree, replicate by replicate), and the rest, which is there because "
    "editions differ."
)
NO_ENTROPY = (
    "No entropy is told: in one of the comparisons the classes do not correspond better than "
    "chance, so no class can be followed."
)
GRADES = {
    NONE: "stayed",
    ROBUST: "robust",
    POSSIBLE: "possible",
    NOISE: "noise",
    NO_CORRESPONDENCE: "no correspondence",
    NOT_COMPARED: "not compared",
}
BEGAN = {
    FIRST: "in the first edition",
    CONTINUED: "continues {origin}",
    PARTED: "split from {origin}",
    BORN: "born",
}
ENDED = {JOINED: "joined {into}", GONE: "gone in the next edition"}


def path_rule() -> str:
    """Return how terms are followed."""
    return PATHS


def class_rule() -> str:
    """Return how classes are followed."""
    return CLASSES


def move_rule() -> str:
    """Return what a move is."""
    return MOVES


def entropy_rule(known: bool) -> str:
    """Return what the entropy of a term's class is, or why none is told."""
    return ENTROPY if known else NO_ENTROPY


def provisional(editions: Sequence[Mapping[str, Any]]) -> str:
    """Return which editions are provisional; "" for none."""
    names = [each["edition"] for each in editions if each["provisional"]]
    if not names:
        return ""
    which = "The chart of" if len(names) == 1 else "The charts of"
    verb = "is" if len(names) == 1 else "are"
    return (
        f"{which} {', '.join(names)} {verb} provisional: whether the populations may be pooled "
        "cannot be told from the sorts. What is said below of classes and terms is as provisional."
    )


def moved(row: Row, editions: Sequence[Mapping[str, Any]]) -> str:
    """Return when a term moved, from where to where and how surely, for the table of moves."""
    told = []
    before: Mapping[str, Any] | None = None
    for each in editions:
        study = each["study"]
        if not row[f"term:{study}"]:
            continue
        grade = row.get(f"migration:{study}", "")
        if before is not None and grade in (ROBUST, POSSIBLE, NOISE):
            was, now = (
                f"{side['edition']}: {row['class_name:' + side['study']]}"
                for side in (before, each)
            )
            told.append(f"{was} \u2192 {now} ({grade})")
        before = each
    return "; ".join(told)


def named(row: Row) -> str:
    """Return what a path is called, with what it was called before."""
    labels = [row[name] for name in row if name.startswith("label:") and row[name]]
    former = [label for label in dict.fromkeys(labels) if label != row["label"]]
    return f"{row['label']} (before: {', '.join(former)})" if former else str(row["label"])


def stop(row: Row, study: str) -> str:
    """Return where a term stands in an edition, with what else happened on the way there."""
    if not row[f"term:{study}"]:
        return "\u2013"
    notes = []
    change = row.get(f"change:{study}", "")
    if change and change != KEPT:
        notes.append("came back" if change == RETURNED else change)
    former = former_label(row, study)
    if former and former != row[f"label:{study}"]:
        notes.append(f"before: {former}")
    grade = row.get(f"migration:{study}", "")
    if grade not in ("", NONE, NOT_COMPARED):
        notes.append(f"{GRADES[grade]} move" if grade != NO_CORRESPONDENCE else GRADES[grade])
    more = f" ({', '.join(notes)})" if notes else ""
    return f"{row[f'class_name:{study}']}{more}"


def class_told(one: Mapping[str, Any], names: Mapping[tuple[int, str], str], place: int) -> str:
    """
    Return where a class came from and what became of it.

    Parameters
    ----------
    one : mapping
        Of `classes` in the record.
    names : mapping
        Name of each class by the edition's place and the class's id.
    place : int
        Of its edition.
    """
    origin = names.get((place - 1, str(one["origin"])), "")
    into = names.get((place + 1, str(one["into"])), "")
    told = [BEGAN[one["began"]].format(origin=origin) + of_common(one["from_origin"])]
    if one["ended"] in ENDED:
        told.append(ENDED[one["ended"]].format(into=into) + of_common(one["in_into"]))
    return ", ".join(told)


def of_common(shared: Mapping[str, int] | None) -> str:
    """Return on how many of a class's common terms it rests; "" where no class is told of."""
    return f" ({shared['shared']} of {shared['common']})" if shared else ""
