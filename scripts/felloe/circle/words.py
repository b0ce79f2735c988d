"""What the page says of map and ring, from their records and rows."""

from collections.abc import Iterable, Mapping
from typing import Any

from felloe.circle.figure_words import fewer_than, finding, warnings

__all__ = [
    "ADJACENCY",
    "TIE_RULE",
    "fewer_than",
    "finding",
    "pose",
    "reading",
    "scaling",
    "warnings",
    "weak_neighbours",
]
ADJACENCY = (
    "share of redrawn studies in which the two classes are neighbours: participants are redrawn "
    "within populations, the tree is built and its shortest circle found anew, and each class of "
    "the published chart stands where its longest unbroken run of terms stands"
)
TIE_RULE = (
    "among orders of the same length the one whose terms, read from the alphabetically first "
    "term in either direction, come first in alphabetical order; turned and mirrored orders "
    "count once"
)
TIES = {
    "primary": "pairs of equal dissimilarity may lie at different distances",
    "secondary": "pairs of equal dissimilarity are to lie at equal distances",
}
POSES = {
    "canonical": "canonical: the first class in alphabetical order of ids begins at the top, "
    "and the class after it has the smaller id of its two neighbours",
    "older_edition": "turned and mirrored to the least mean angular displacement against an "
    "older edition, the top between two terms",
}


def reading(agreement: Mapping[str, Any]) -> str:
    """Say whether the agreement can be quoted."""
    if agreement["map_angles_replicate"]:
        return "the map's directions come back from other starts, so the comparison can be read"
    return (
        "the map's directions do not come back from other starts: do not quote this "
        "comparison as evidence for or against the order"
    )


def pose(record: Mapping[str, Any]) -> str:
    """Say which way up the circle is drawn; `pose` of `order.json`."""
    return POSES[record["rule"]]


def scaling(record: Mapping[str, Any]) -> str:
    """Say what distances on the map follow; `map.json`."""
    ties = f": {TIES[record['ties']]}" if record["ties"] else ""
    return f"{record['type']} scaling{ties}"


def weak_neighbours(
    rows: Iterable[Mapping[str, Any]], weak_below: float
) -> list[Mapping[str, Any]]:
    """Return the rows of `adjacency.csv` of weak neighbours, the weakest first."""
    weak = [row for row in rows if row["neighbours"] and row["support"] < weak_below]
    return sorted(weak, key=lambda row: (row["support"], row["class"], row["other_class"]))
