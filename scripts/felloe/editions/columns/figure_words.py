"""What stands on the pictures of two editions compared, beside their terms and classes."""

from collections.abc import Mapping, Sequence

from felloe.editions.columns.crossings import Columns
from felloe.editions.correspondence import POSSIBLE, ROBUST
from felloe.editions.linking.links import NEW, RETIRED
from felloe.editions.wheels.hues import Counterparts
from felloe.ground.files.tables import Row

LANGUAGE = "en"  # of all that is said here
MOVES = {ROBUST: "robust move", POSSIBLE: "possible move"}
SPLIT_TERM, MERGED_TERM = "split", "merged"  # changes of terms that are not one to one
CHANGES = {
    NEW: "new term",
    RETIRED: "retired term",
    SPLIT_TERM: "term split or merged",
}
NOT_OLDER = {RETIRED: "retired", SPLIT_TERM: "split", MERGED_TERM: "merged"}
NOT_NEWER = {NEW: "new", "split_into": "split from another", "merged_into": "merged from others"}
RIM = (
    "The piece of the rim over each term: of 100 redraws of the study so many put it into the "
    "class of that colour; open: placed by the committee."
)
NOT_JOINED = "Moves that are no more than noise are not joined."
OF_GROUP = "A line with an open end leads to such a group."
NO_MOVE = "No common term is known to have moved to another class."
WRITTEN = {  # which terms are written
    "all": [],
    "marked": [
        "Terms without a mark are not written, for want of room; each edition's own wheel has them."
    ],
    "none": ["The terms are not written, for want of room; each edition's own wheel has them."],
}


def wheels_title(older: str, newer: str, preview: bool) -> str:
    """Return what the picture of both wheels is called, from the names of both editions."""
    return f"Wheels of {older} and {newer}{' (preview)' if preview else ''}"


def size_of(number: int) -> str:
    """Return how many terms an edition has."""
    return f"{number} {'term' if number == 1 else 'terms'}"


def lie_told(older: str, turn: int) -> str:
    """Return how the two wheels lie, and what the pieces of their rims mean."""
    but = f" (that of {older} is turned by {turn} degrees for it)" if turn else ""
    return f"Both wheels as published, without trees and subclasses, at one rotation{but}. {RIM}"


def hues_told(older: str, newer: str, found: Counterparts) -> str:
    """Return how the classes of either edition came to their hues, and which stand alone."""
    if not found.matched:
        return (
            f"No class of {older} corresponds to one of {newer}, so that those of {older} are grey "
            f"and those of {newer} have hues of their own."
        )
    told = (
        f"Each class of {newer} has its own hue, and a class of {older} that of the class of "
        f"{newer} that it corresponds to by the common terms of both, whatever the two are called."
    )
    if found.shared:
        told += " Where two classes became one, both have its hue."
    if found.only_older:
        told += f" Grey, without counterpart in {newer}, of {older}: {', '.join(found.only_older)}."
    if found.only_newer:
        told += f" Without counterpart in {older}, of {newer}: {', '.join(found.only_newer)}."
    return told


def without(older: str, newer: str) -> str:
    """Return what the grey of a class of the older edition means."""
    return f"class of {older} without counterpart in {newer}"


def of_each(editions: Sequence[str], names: Sequence[Sequence[str]]) -> str:
    """Return names of either edition, each with their edition; "" for none."""
    parts = [
        f"of {edition} {', '.join(some)}"
        for edition, some in zip(editions, names, strict=True)
        if some
    ]
    return "; ".join(parts)


def off_ring(editions: Sequence[str], labels: Sequence[Sequence[str]]) -> str:
    """Return which terms are on neither wheel, and why; "" for none."""
    told = of_each(
        editions, [[f"{len(some)} ({', '.join(some)})"] if some else [] for some in labels]
    )
    return (
        f"Terms that gave their group its name and have no place of their own: {told}."
        if told
        else ""
    )


def lone_told(editions: Sequence[str], names: Sequence[Sequence[str]]) -> str:
    """Return which classes are of one word, which the rim does not name; "" for none."""
    told = of_each(editions, names)
    return f"Classes of one word, without a name on the rim: {told}." if told else ""


def letters_told(names: Sequence[str]) -> str:
    """Return which names stand under a letter; "" for none."""
    return f"Names without room on the rim: {'; '.join(names)}." if names else ""


def label_of(row: Row) -> str:
    """Return how a term is named between the wheels."""
    if row["label_older"] and row["label_older"] != row["label"]:
        return f"{row['label_older']} \u2192 {row['label']}"
    return str(row["label"])


def path_told(class_name: str, label: str) -> str:
    """Return where a term stands, for readers who point at it."""
    return " / ".join(dict.fromkeys((class_name, label)))


def way_told(row: Row) -> str:
    """Return from which class to which a term moved, for readers who point at it or hear it."""
    return (
        f"{label_of(row)}: {row['class_name_older']} \u2192 {row['class_name_newer']} "
        f"({MOVES[row['migration']]})"
    )


def wheels_described(
    editions: tuple[str, str], moved: Sequence[Row], counts: Mapping[str, int]
) -> str:
    """
    Return the picture of both wheels in words.

    Parameters
    ----------
    editions : (str, str)
    moved : sequence of dict
        Rows of the terms that are joined.
    counts : dict of str to int
        New and retired terms.
    """
    older, newer = editions
    parts = [f"The published wheels of {older}, left, and {newer}, right, at one rotation."]
    parts += [f"{way_told(row)}." for row in moved] or [NO_MOVE]
    parts.append(f"New terms: {counts[NEW]}. Retired terms: {counts[RETIRED]}.")
    return " ".join(parts)


def crossings_told(columns: Columns) -> str:
    """Return how many ways cross in the picture of two columns, and in the order of the wheels."""
    known = (
        "no order of the classes has fewer" if columns.exact else "the fewest that a search found"
    )
    return (
        f"Crossings of lines: {columns.after} ({known}); with the classes in the order of the two "
        f"wheels {columns.before}."
    )


def drawn_told(older: str, newer: str, terms: Mapping[str, int]) -> str:
    """
    Return which terms the picture of two columns draws, and which not.

    Parameters
    ----------
    older, newer : str
    terms : dict of str to int
        `terms` of `comparison.json`.
    """
    left = []
    for edition, reasons in ((older, NOT_OLDER), (newer, NOT_NEWER)):
        parts = [f"{terms[count]} {why}" for count, why in reasons.items() if terms[count]]
        left += [f"of {edition} {', '.join(parts)}"] if parts else []
    told = f"Drawn: {size_of(terms['common'])} that both editions have one to one."
    return f"{told} Not drawn: {'; '.join(left)}." if left else told
