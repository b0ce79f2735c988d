"""What the figures of map and ring say, and the page with them, from their records."""

from collections.abc import Mapping
from typing import Any

HALF = 0.5
NOT_NAMED = "{terms:,} terms have no room for their names; circle/map.csv has the place of each."


def finding(agreement: Mapping[str, Any]) -> str:
    """Say whether ring and map agree; `agreement_with_map` of `order.json`."""
    limit = agreement["agree_up_to_p"]
    if agreement["found"]:
        return f"ring and map agree more than by chance (p at most {limit:g})"
    return f"no agreement between ring and map was found (p above {limit:g})"


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
