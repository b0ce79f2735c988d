"""What follows from the tables and figures of two editions compared, in a sentence each."""

from collections.abc import Mapping, Sequence
from typing import Any

from felloe.editions.verdict import ALIKE, SEEN_ALIKE
from felloe.ground.files.tables import Row

LISTS = {
    "renamed": "Texts and charts that use the older name are read with this list beside them.",
    "new": "These have no past: nothing is said of how they were seen before.",
}
REST = {
    "possible": "call those graded possible no more than that",
    "noise": "leave those graded noise out",
}


def moves(rows: Sequence[Row], by_chance: int = 0) -> str:
    """
    Say how many moves are to be announced.

    Parameters
    ----------
    rows : sequence of dict
        Of the editions' `terms.csv`: the moves.
    by_chance : int
        Robust moves that as many words made in simulation where none had moved.
    """
    robust = sum(row["migration"] == "robust" for row in rows)
    if not robust:
        return "No move is robust: announce none of them as a change of meaning."
    if robust <= by_chance:
        return (
            f"{robust} of {len(rows)} {'is' if robust == 1 else 'are'} robust, no more than chance "
            "alone may bring: announce none of them as a change of meaning."
        )
    one = (
        " This one alone may also be chance: the rule says how often that is."
        if robust == 1
        else ""
    )
    grades = {row["migration"] for row in rows}
    others = [REST[grade] for grade in ("possible", "noise") if grade in grades]
    left = "".join(f"; {text}" for text in others)
    return (
        f"{robust} of {len(rows)} {'is' if robust == 1 else 'are'} robust and may be announced as "
        f"a change of class{left}.{one}"
    )


def classes(rows: Sequence[Mapping[str, Any]]) -> str:
    """Say how many classes went on as they were; `classes` of `comparison.json`."""
    stayed = sum(row["relation"] == "stayed" for row in rows)
    if not stayed:
        return "No class went on as it was: describe the newer edition by itself."
    return (
        f"{stayed} {'class' if stayed == 1 else 'classes'} went on; of these alone the newer "
        "edition may say that they are classes of the older one."
    )


def agreement(adjusted_rand: float) -> str:
    """Say whether two editions may be called alike in their classes."""
    if adjusted_rand >= ALIKE:
        return "By and large the classes are the same; what changed are single terms."
    return "The classes are not the same division: do not carry statements on classes over."


def distances(r: float, corrected: Mapping[str, Any] | None) -> str:
    """
    Say whether people saw the common terms alike.

    Parameters
    ----------
    r : float
        Correlation of the two matrices.
    corrected : mapping or None
        `corrected_r` of `comparison.json`.
    """
    low = corrected.get("low") if corrected else None
    if low is not None and low >= SEEN_ALIKE:
        return "Beyond noise, people of both studies saw the common terms much alike."
    return (
        f"That both studies' people saw the common terms alike is not shown (r = {r:.2f}): look at "
        "the terms that moved before you build on older findings."
    )
