"""Step: choose and check the colour of every class, subclass and term."""

from typing import Any

from felloe.circle.tables import ORDER
from felloe.colours.choice import ColourRules, Place, Tier, choose_colours, measure
from felloe.colours.picks import Pick, TwoGroups
from felloe.colours.tables import COLOURS
from felloe.ground.files.tables import Row
from felloe.tiers.tables import PLACES
from felloe.validation.tables import PICKS


def main(
    *,
    picks: str,
    places: str,
    order: str,
    settings: dict[str, Any],
    smallest_cell: int,
    colours: str,
) -> None:
    """Read picks, tiers and order; choose, measure, write."""
    ring = [place_of(row) for row in ORDER.read(order)]
    absorbed = [place_of(row) for row in PLACES.read(places) if row["absorbed"]]
    picked: dict[str, list[Pick]] = {}
    for row in PICKS.read(picks):
        picked.setdefault(row["term"], []).append(Pick(row["colour"], row["respondent"]))
    two_groups = TwoGroups(**settings["two_groups"])
    rules = ColourRules(**{**settings, "two_groups": two_groups}, least=smallest_cell)
    ring_order: dict[Tier, list[str]] = {
        "class": list(dict.fromkeys(place.class_ for place in ring)),
        "subclass": list(dict.fromkeys(place.subclass for place in ring)),
        "term": [place.term for place in ring],
    }
    COLOURS.write(colours, measure(choose_colours(ring, absorbed, picked, rules), ring_order))


def place_of(row: Row) -> Place:
    """Return where a row of a table puts its term."""
    return Place(row["term"], row["subclass"], row["class"])


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
