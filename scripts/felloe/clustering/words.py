"""What the numbers of the tree say in sentences, for its part of the report."""

from collections.abc import Mapping, Sequence
from typing import Any

from felloe.clustering.source_words import whose_tree
from felloe.ground.files.tables import Row

__all__ = ["whose_tree"]  # for the page, which asks this module alone

RULE = (
    "Every number of classes in the range of the settings is looked at.",
    "A number is eligible if its groups are tighter than as many groups without structure: the "
    "highest merge below the cut lies below the 5 % point of the same merge in trees of sorts "
    "whose terms were permuted within participants.",
    "And if its cut does not go through a tie. If no number is left, the condition on ties is "
    "dropped, then the one on tightness.",
    "Six indices rank the eligible numbers: silhouette; gap criterion (by its size, which is not "
    "its authors' rule; theirs is the column beside it); height gap; smallest mean Jaccard of a "
    "group; PAC; bootstrap agreement.",
    "The number with the best mean rank is taken; the smaller one where mean ranks are equal.",
    "Numbers of subclasses are chosen in the same way.",
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

DELTA_SAMPLE = (
    "With so many terms the delta scores are estimates: every term's is the mean over 10,000 sets "
    "of four drawn among all that hold it, and its standard error is at most"
)

CHANCE_LINE = (
    "merges above it join groups that are put together no more often than piles of these sizes "
    "give by chance; to lie below it proves nothing, for about nine in ten merges do so where "
    "there is no structure at all"
)


def tightness(rows: Sequence[Row]) -> str:
    """
    Say which numbers of classes give groups that are tighter than without structure.

    Parameters
    ----------
    rows : sequence of dict
        Of `class_counts.csv`.

    Returns
    -------
    str
    """
    classes = [row for row in rows if row["tier"] == "class"]
    loose = [str(row["n_classes"]) for row in classes if not row["below_null"]]
    if not loose:
        return (
            "Every number of classes considered gives groups that are tighter than those of 95 % "
            "of the data sets without structure."
        )
    if len(loose) == len(classes):
        return (
            "No number of classes considered gives groups that are tighter than those of 95 % of "
            "the data sets without structure: the number is a convention, not a finding."
        )
    return (
        f"With {', '.join(loose)} classes the groups are no tighter than without structure can "
        "give; the other numbers considered give tighter ones than 95 % of the data sets without "
        "structure. Where there is none, at least one number does so in about one study in four."
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
