"""What the numbers of the tree say in sentences, for its part of the report."""

from collections.abc import Mapping, Sequence
from typing import Any

from felloe.ground.tables import Row

RULE = (
    "eligible are the numbers in the range whose cut lies below the chance line and does not go "
    "through a tie (if none is left, the second condition is dropped, then the first); among them "
    "the best mean rank over silhouette, gap criterion, height gap, smallest mean Jaccard of a "
    "group, PAC and bootstrap agreement; the smaller number where mean ranks are equal"
)
READINGS = {
    "": "",
    "highly_stable": "highly stable",
    "stable": "stable",
    "pattern": "a pattern, its members doubtful",
    "doubtful": "not to be trusted",
    "dissolved": "dissolved",
}
JACCARD = (
    "Hennig (2007), set for redrawn objects: 0.5 dissolved, 0.6, 0.75, 0.85 highly stable; a "
    "convention, to be read beside the values without structure"
)
EXPLORATORY = (
    "the numbers were chosen on the same sorts that the supports come from; the indices describe "
    "the choice and do not confirm it"
)


def range_note(words: str, number: Mapping[str, Any]) -> str:
    """
    Say why the numbers considered are not those asked for; nothing if they are.

    Parameters
    ----------
    words : str
        What the groups are called.
    number : mapping
        `classes` or `subclasses` of `bootstrap.json`.

    Returns
    -------
    str
    """
    asked, possible = number["range"], number["possible"]
    if list(asked) == list(possible):
        return ""
    return (
        f"{words}: the range {asked[0]} to {asked[1]} became {possible[0]} to {possible[1]}, "
        "which is what this number of terms can carry"
    )


def failure(code: str, minimum_size: int, minimum_support: float) -> str:
    """Say why a group does not hold; see `Limits.failure`."""
    return {
        "": "",
        "few_terms": f"fewer than {minimum_size} terms",
        "low_support": f"support below {minimum_support:g}",
        "chance_support": "support no better than without structure",
    }[code]


def class_rows(rows: Sequence[Row], minimum_class_size: int, minimum_support: float) -> list[Row]:
    """Return the rows of `classes.csv` with words in place of codes."""
    return [
        {
            **row,
            "convention": READINGS[row["convention"]],
            "reason": failure(row["reason"], minimum_class_size, minimum_support),
        }
        for row in rows
    ]


def tied_terms(rows: Sequence[Row]) -> list[Row]:
    """Return the rows of terms whose class depends on the breaking of ties, the worst first."""
    tied = [row for row in rows if row["class_depends_on_tie_break"] > 0]
    return sorted(tied, key=lambda row: (-row["class_depends_on_tie_break"], row["term"]))
