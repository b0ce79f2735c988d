"""What map and circle say in words, from their records and rows."""

from collections.abc import Iterable, Mapping
from typing import Any

ADJACENCY = (
    "share of redrawn studies in which the two classes are neighbours: participants are redrawn "
    "within populations, the tree is built and its shortest circle found anew, and each class of "
    "the published chart stands where its longest unbroken run of terms stands"
)
HALF = 0.5
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


def finding(agreement: Mapping[str, Any]) -> str:
    """Say whether ring and map agree; `agreement_with_map` of `order.json`."""
    limit = agreement["agree_up_to_p"]
    if agreement["found"]:
        return f"ring and map agree more than by chance (p at most {limit:g})"
    return f"no agreement between ring and map was found (p above {limit:g})"


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


def warnings(record: Mapping[str, Any]) -> list[str]:
    """Say what a reader has to know before quoting the map; `map.json`."""
    sentences = {
        "degenerate": f"The {record['type_asked']} map is degenerate: it fits without error "
        "because terms of a group fall on one spot. It says nothing within or between groups; "
        f"the {record['type']} map is shown.",
        "directions": "Directions on this map do not replicate: other starts that fit as well "
        "give other directions (median agreement "
        f"{record['restart_agreement']['median']:.2f}). Do not place classes by their direction "
        "on the map.",
        "no_better_than_null": "The map fits no better than maps of sorts without structure.",
        "saturated": f"{100 * record['saturated_share']:.0f} % of the pairs were put together by "
        "nobody; the map cannot tell how far apart these are.",
    }
    return [sentences[code] for code in record["warnings"]]


def scaling(record: Mapping[str, Any]) -> str:
    """Say what distances on the map follow; `map.json`."""
    ties = f": {TIES[record['ties']]}" if record["ties"] else ""
    return f"{record['type']} scaling{ties}"


def fewer_than(share: float) -> str:
    """Return in words a share of redrawn studies that something lies below."""
    return "fewer than half" if share == HALF else f"fewer than {100 * share:g} %"


def bars_and_lines(weak_below: float, shown: float) -> str:
    """Say how to read the numbers on the ring; from `shown` on, lines are drawn."""
    return (
        "Between two classes: share of redrawn studies in which they are neighbours; red: "
        f"{fewer_than(weak_below)}. Grey lines: neighbours in at least {100 * shown:.0f} % of "
        "redrawn studies, though not here."
    )


def agreement_beside(agreement: Mapping[str, Any]) -> str:
    """Say beside the map how well ring and map agree."""
    said = (
        f"Agreement of directions on ring and map {agreement['fisher_lee']:.2f} "
        f"(circular correlation, p = {agreement['p']:.3f}): {finding(agreement)}."
    )
    if not agreement["map_angles_replicate"]:
        said += " Not to be quoted: the map's directions do not replicate."
    return said


def price(record: Mapping[str, Any]) -> str:
    """Say what the lengths are, what the tree costs, and how many orders tie; `order.json`."""
    ties = f"{record['n_optima']:,}" if record["n_optima_exact"] else "more than can be counted"
    return (
        "Length of the circle: sum of distances between neighbours. The tree costs "
        f"{100 * record['price_of_the_tree']:.1f} %. Orders as short as this one: {ties}."
    )


def weak_neighbours(
    rows: Iterable[Mapping[str, Any]], weak_below: float
) -> list[Mapping[str, Any]]:
    """Return the rows of `adjacency.csv` of weak neighbours, the weakest first."""
    weak = [row for row in rows if row["neighbours"] and row["support"] < weak_below]
    return sorted(weak, key=lambda row: (row["support"], row["class"], row["other_class"]))
