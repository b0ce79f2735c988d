"""What follows from the tables and figures on ring and map, in a sentence each."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from felloe.ground.files.tables import Row
from felloe.ground.groups.ranges import ALL_BESIDE

HALF = 0.5
ALWAYS_BESIDE = (
    "With three classes or fewer each stands beside every other in whatever order, so the ring "
    "cannot tell which are kin."
)
SMALL_PRICE = 0.05  # of the tree, share of the way around; rule of thumb, no source


def kin(weak_below: float) -> str:
    """Say from when two neighbours may be read as kin."""
    return f"neighbours in at least {100 * weak_below:g} % of the redraws"


def ring(rows: Iterable[Row], weak_below: float) -> str:
    """Say how many neighbours on the ring may be read as kin; rows of `adjacency.csv`."""
    rows = list(rows)
    if len({row[side] for row in rows for side in ("class", "other_class")}) <= ALL_BESIDE:
        return ALWAYS_BESIDE
    beside = [row for row in rows if row["neighbours"]]
    weak = sum(row["support"] < weak_below for row in beside)
    if not weak:
        return f"All {len(beside)} pairs of neighbouring classes may be read as kin."
    if weak == len(beside):
        return "No two neighbouring classes may be read as kin: the ring is an order, no more."
    return (
        f"{len(beside) - weak} of {len(beside)} pairs of neighbouring classes may be read as kin "
        f"({kin(weak_below)}); the other {weak} stand side by side only because something has to."
    )


def apart(rows: Iterable[Row]) -> list[Row]:
    """Return the pairs that are neighbours in most redraws and not on the ring, surest first."""
    found = [row for row in rows if not row["neighbours"] and row["support"] > HALF]
    return sorted(found, key=lambda row: (-row["support"], row["class"], row["other_class"]))


def length(price: float) -> str:
    """Say whether the tree makes the ring much longer; its price as a share."""
    if price <= SMALL_PRICE:
        return (
            f"Keeping the tree costs {100 * price:.1f} % of the way around: hardly a neighbourhood "
            "is given up for it."
        )
    return (
        f"Keeping the tree costs {100 * price:.0f} % of the way around: terms that are alike may "
        "stand apart on the ring, so look them up in the list of nearest words."
    )


def agreement(found: Mapping[str, Any], weak_below: float) -> str:
    """Say what agreement of ring and map means; `agreement_with_map` of `order.json`."""
    if not found["map_angles_replicate"]:
        return (
            "The map's directions do not repeat, so it can neither confirm nor contradict the "
            "ring: judge neighbours by their share of redraws alone."
        )
    if found["found"]:
        return (
            "The map, made without the tree, gives much the same order: the ring's neighbours are "
            "not the tree's doing alone."
        )
    return (
        "The map does not confirm the ring's order. That is no fault of the classes; but argue "
        f"from two sectors being side by side only where they are {kin(weak_below)}, and never "
        "from where a class lies on the circle."
    )


def plane(record: Mapping[str, Any]) -> str:
    """Say what the map may be used for; `map.json`."""
    null = record["null"]
    if "no_better_than_null" in record["warnings"]:
        return "The map shows nothing that sorts without structure would not: do not use it."
    if "degenerate" in record["warnings"]:
        return "Use the map for which groups there are, not for what lies where within them."
    return (
        f"The map repeats the data better than maps of shuffled sorts do (stress "
        f"{record['stress_1']:.2f}, there {null['mean']:.2f}): ellipses that overlap are terms "
        "that the plane cannot tell apart."
    )


def spread(record: Mapping[str, Any]) -> str:
    """Say how far distances on the map may be read; `map.json`."""
    share = record["saturated_share"]
    if share > HALF:
        return (
            f"{100 * share:.0f} % of the pairs were put together by nobody: long distances on the "
            "map mean no more than \u2018far apart\u2019."
        )
    return (
        "The closer the points lie to the line, the further distances on the map may be trusted; "
        "trust short ones more than long ones."
    )


def pairs_said(rows: Sequence[Row], names: Mapping[str, str]) -> str:
    """Say which classes are often neighbours and do not stand side by side."""
    if not rows:
        return "No two classes are neighbours in most redraws and stand apart on the ring."
    told = "; ".join(
        f"{names.get(row['class'], row['class'])} and "
        f"{names.get(row['other_class'], row['other_class'])} ({100 * row['support']:.0f} %)"
        for row in rows
    )
    return (
        f"Neighbours in most redraws, yet not side by side on the ring: {told}. Such classes are "
        "kin all the same; a ring has only two places beside each class."
    )
