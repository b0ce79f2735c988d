"""What follows from the picture and the tables of a timeline, in a sentence each."""

from collections.abc import Mapping, Sequence
from typing import Any

from felloe.ground.files.tables import Row

UNSURE = 0.5  # nats: between always one class and either of two; rule of thumb, no source


def moves(rows: Sequence[Row]) -> str:
    """Say which of the terms that moved can be told of."""
    robust = sum(row["surest"] == "robust" for row in rows)
    several = sum(row["moves"] > 1 for row in rows)
    if not rows:
        return "No term is known to have changed its class: the classes changed, if at all."
    if not robust:
        return "No move is robust: announce none of them as a change of meaning."
    back = (
        f" {several} moved more than once: say so before another move is announced."
        if several
        else ""
    )
    told = f"{robust} of {len(rows)} moved robustly at least once, and may be told of as moved."
    return told + back


def classes(pairs: Sequence[Mapping[str, Any]]) -> str:
    """Say how far the classes of the first edition can be told as those of the last."""
    if not all(pair["found"] for pair in pairs):
        return "Two neighbouring editions do not correspond: tell the story of each by itself."
    changed = sum(sum(pair["classes"].values()) for pair in pairs)
    if not changed:
        return "Every class goes through: the editions may be told as one vocabulary that grew."
    return (
        f"{changed} {'class was' if changed == 1 else 'classes were'} born, gone, split or joined: "
        "say which, before classes of the first and of the last edition are called the same."
    )


def lines(classes: Sequence[Mapping[str, Any]]) -> str:
    """Say how many classes of the last edition go back to the first; `classes` of the record."""
    first = {one["line"] for one in classes if one["began"] == "first"}
    last = [one["line"] for one in classes if one["ended"] == "last"]
    back = sum(line in first for line in last)
    return (
        f"{back} of the {len(last)} classes of the last edition go back to the first; the others "
        "have no history that long."
    )


def entropy(rows: Sequence[Row]) -> str:
    """Say of which terms the definition, and of which the history, is to be looked at."""
    unsure = [row for row in rows if row["entropy"] >= UNSURE]
    if not unsure:
        return "No term is without a settled class over the editions."
    still = [row for row in unsure if not row["moves"]]
    within = sum(row["entropy_replicates"] >= row["entropy_editions"] for row in still)
    told = (
        f"{len(unsure)} of {len(rows)} {'term has' if len(rows) == 1 else 'terms have'} 0.5 nats "
        f"or more: {len(unsure) - len(still)} moved, {len(still)} never did."
    )
    if within:
        told += (
            f" {within} of those that never did {'is' if within == 1 else 'are'} unsure mostly "
            "within editions: ask whether the definition has to be mended."
        )
    if within < len(still):
        told += (
            f" Of {len(still) - within} that stayed the classes above say what changed round "
            f"{'it' if len(still) - within == 1 else 'them'}."
        )
    return told


def paths(rows: Sequence[Row], number: int) -> str:
    """Say how far the editions can be compared at all."""
    throughout = sum(row["editions"] == number for row in rows)
    return (
        f"{throughout} of {len(rows)} paths go through all {number} editions; of these alone it "
        "can be said that they stayed or moved throughout."
    )
