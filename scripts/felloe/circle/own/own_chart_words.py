"""What the figure of the populations' own charts says, and the page with it."""

from collections.abc import Mapping, Sequence
from typing import Any

TITLE = "Each population's own chart"
MARKED = "in another class than on the published chart"
UNMATCHED = "a class that stands for none of the published chart; named by its terms"
PROVISIONAL = "The published chart is provisional."
NAMED_TERMS = 3  # that give a class its name where it stands for none


def reading(provisional: bool) -> str:
    """Say how the rings are made and how to read them."""
    text = (
        "The tree of each population's people alone, cut into as many classes and subclasses as "
        "the published chart, in the shortest order that it allows. Colour and name are those of "
        "the published class that a class stands for; the inner band shows classes, the thin one "
        "subclasses."
    )
    return f"{text} {PROVISIONAL}" if provisional else text


def not_named(terms: int) -> str:
    """Say that terms have no room for their names."""
    return (
        f"{terms:,} terms have no room for their names: a dot stands at each that is in another "
        "class; circle/own_charts.csv names them."
    )


def title_of(label: str, n_people: int) -> str:
    """Return the title of one ring."""
    return f"{label} ({n_people})"


def counted(n_differing: int, n_terms: int) -> str:
    """Say how many terms stand in another class."""
    return f"{n_differing} of {n_terms} terms {MARKED}"


def named_by_terms(labels: Sequence[str]) -> str:
    """Return the name of a class that stands for none: its terms, the first few."""
    more = len(labels) - NAMED_TERMS
    first = ", ".join(labels[:NAMED_TERMS])
    return f"{first} and {more} more" if more > 0 else first


def moves(
    rows: Sequence[Mapping[str, Any]],
    population: str,
    names: Mapping[str, str],
    labels: Mapping[str, str],
) -> list[str]:
    """
    Say to which class a population alone gives the terms that it does not leave where published.

    Parameters
    ----------
    rows : sequence of mapping
        Of `circle/own_charts.csv`.
    population : str
    names, labels : mapping of str to str
        Of the published classes and of the terms.

    Returns
    -------
    list of str
        One for each pair of a published class and the one that it gives.
    """
    here = [row for row in rows if row["population"] == population]
    found: dict[tuple[str, str, str], list[str]] = {}
    for row in here:
        if row["differs"]:
            own = "" if row["matched_class"] else row["class"]
            pair = (row["published_class"], row["matched_class"] or "", own)
            found.setdefault(pair, []).append(labels[row["term"]])
    said = []
    for (published, given, own), terms in found.items():
        members = [labels[row["term"]] for row in here if row["class"] == own]
        alone = (
            "alone" if len(members) == 1 else f"in a class of its own ({named_by_terms(members)})"
        )
        there = f"with {names[given]}" if given else alone
        said.append(f"{', '.join(terms)} {there}, not in {names[published]}")
    return said


def classes_of(
    rows: Sequence[Mapping[str, Any]],
    population: str,
    names: Mapping[str, str],
    labels: Mapping[str, str],
) -> list[dict[str, Any]]:
    """
    Return the classes of a population's own chart in order around its ring.

    Parameters
    ----------
    rows : sequence of mapping
        Of `circle/own_charts.csv`.
    population : str
    names : mapping of str to str
        Of the published classes.
    labels : mapping of str to str
        Of the terms.

    Returns
    -------
    list of dict
        `id`, `name`, `stands_for` (None for none) and `terms`, their rows.
    """
    found: dict[str, dict[str, Any]] = {}
    for row in rows:
        if row["population"] == population:
            one = {"id": row["class"], "stands_for": row["matched_class"] or None, "terms": []}
            found.setdefault(row["class"], one)["terms"].append(row)
    for one in found.values():
        terms = [labels[row["term"]] for row in one["terms"]]
        one["name"] = names[one["stands_for"]] if one["stands_for"] else named_by_terms(terms)
    return list(found.values())
