"""What two editions compared amount to, in words: sentences of the report, the figure, notes."""

from felloe.editions.correspondence import NOISE, NONE, POSSIBLE, ROBUST
from felloe.editions.fates import NEW, RENAMED, RETIRED
from felloe.ground.tables import Row

CLASS_RULE = (
    "Classes are matched one to one by the largest overlap of their common terms, never by name. "
    "A class left over counts as a part of the class that holds more than half of its common "
    "terms: a term that followed it there has not migrated."
)
MIGRATION_RULE = (
    "A term has migrated if its classes in the two editions do not correspond. The move is "
    "robust if the bootstrap probability of its class is at least the robust bound in both "
    "editions, possible if it is at least the possible bound in both, otherwise noise."
)
WAYS = {  # what the lines of the figure mean
    NONE: "stayed, or followed its class",
    ROBUST: "robust move",
    POSSIBLE: "possible move",
    NOISE: "noise move",
}
PAIRS_TITLE = "Every pair of common terms"


def class_rule() -> str:
    """Return how the classes of two editions are found to correspond."""
    return CLASS_RULE


def migration_rule() -> str:
    """Return when a term has migrated, and how moves are graded."""
    return MIGRATION_RULE


def migration_title(older: str, newer: str) -> str:
    """Return what the figure of classes is called, from the names of both editions."""
    return f"Classes of {older} and {newer}"


def distances_title(older: str, newer: str) -> str:
    """Return what the figure of distances is called."""
    return f"Distances of {older} and {newer}"


def distance_axes(older: str, newer: str) -> tuple[str, str]:
    """Return what stands at the axes of the figure of distances."""
    return f"share of people who kept a pair apart, {older}", f"the same, {newer}"


def decided_heading(edition: str) -> str:
    """Return the heading of the column of moves that a committee decided."""
    return f"placed by decision, {edition}"


def change_note(row: Row, edition: str) -> str | None:
    """
    Say what happened to a term.

    Parameters
    ----------
    row : dict
        Of the editions' `terms.csv`.
    edition : str
        What the newer edition is called.

    Returns
    -------
    str or None
        None if nothing happened.
    """
    if row["change"] == RETIRED:
        return f"Retired in edition {edition}."
    if row["change"] == NEW:
        return f"New in edition {edition}."
    notes = []
    if row["change"] == RENAMED:
        notes.append(
            f"Renamed in edition {edition}: '{row['label_older']}' became '{row['label']}'."
        )
    if row["migration"] != NONE:
        notes.append(
            f"Another class in edition {edition} ({row['migration']}): "
            f"'{row['class_name_older']}' became '{row['class_name_newer']}'."
        )
    return " ".join(notes) or None
