"""What is said of a colour, from the numbers and codes of `circle/colours.csv`."""

from collections.abc import Iterable, Mapping
from typing import Any

from felloe.ground.files.numbers import shown
from felloe.ground.files.tables import Row

NO_PICKS = "design choice: nobody picked a colour"
FEW_PICKS = "design choice: too few people picked a colour to tell it"
REASONS = {
    "as_picked": "as picked",
    "separated": "adjusted to be told from other classes",
    "partly_separated": "adjusted as far as possible to be told from other classes",
    "palette": f"{NO_PICKS}; from a palette computed for greatest separation",
    "palette_few": f"{FEW_PICKS}; from a palette computed for greatest separation",
    "shade": "shade {shade} of {n_shades} of its class, dark to light around the circle",
    "tint_unpicked": f"{NO_PICKS}; tint of its subclass",
    "tint_few": f"{FEW_PICKS}; tint of its subclass",
    "tint_two_groups": "picks fall into two groups, so neither stands for the term; tint of its "
    "subclass",
    "tint_far": "pick lies Delta E {delta_e_subclass} from its subclass, too far to keep it; tint "
    "of its subclass",
}


def colour_reason(row: Mapping[str, Any]) -> str:
    """
    Say why a colour is what it is.

    Parameters
    ----------
    row : mapping
        `reason` and what it needs of `shade`, `n_shades` and `delta_e_subclass`: a row of
        `circle/colours.csv` or the colour of a segment in `chart.json`.
    """
    return REASONS[row["reason"]].format(
        shade=row["shade"],
        n_shades=row["n_shades"],
        delta_e_subclass=shown(row["delta_e_subclass"], "decimal1"),
    )


def with_reasons(rows: Iterable[Row]) -> list[Row]:
    """Return rows of `circle/colours.csv`, their reasons in words."""
    return [{**row, "reason": colour_reason(row)} for row in rows]


def nobody_picked(rows: Iterable[Row]) -> bool:
    """Return whether there are no picks, not even too few to be used."""
    return all(row["n_picks"] == 0 for row in rows)
