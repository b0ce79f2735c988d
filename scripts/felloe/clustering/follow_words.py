"""What follows from the tables and figures on tree and classes, in a sentence each."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from felloe.ground.files.tables import Row
from felloe.ground.groups.ranges import FEWEST_CLASSES

HALF = 0.5
STABLE = 0.75  # Jaccard support from which a group is called stable (Hennig 2007)
CLEAR = 0.1  # share of unclear pairs up to which groups are called clear; rule of thumb, no source


def tree(cut: float, chance_line: float) -> str:
    """Say whether the classes lie below the chance line; `cut` is the highest merge in a class."""
    if cut < chance_line:
        return (
            "Every class is cut below the chance line: its terms are put together more often than "
            "piles of these sizes give by chance. That is needed, and not enough, to believe it."
        )
    return (
        "Some classes are joined above the chance line: their parts are put together no more often "
        "than chance gives, so do not read such a class as one thing."
    )


def linkages(rows: Sequence[Row], labels: Mapping[str, str]) -> str:
    """Say how much the linkage matters, and for which terms; rows of `linkages.csv`."""
    others = [row for row in rows if not row["chosen"]]
    changing = [set(row["terms_changing_class"] or ()) for row in others]
    if not any(changing):
        return "The linkage does not matter: every other one gives the same classes."
    numbers = sorted(len(terms) for terms in changing)
    often = sorted(
        labels.get(term, term)
        for term in set.union(*changing)
        if sum(term in terms for terms in changing) > len(others) / 2
    )
    sentence = f"Another linkage would move {numbers[0]} to {numbers[-1]} terms to another class"
    if often:
        return f"{sentence}; under most of them {', '.join(often)}: decide on these with care."
    return f"{sentence}, and no term under most of them: none hangs on the linkage alone."


def unfit(rows: Sequence[Row], open_terms: Sequence[str]) -> str:
    """Say whether terms that fit a tree badly are asked about; rows of `delta.csv`."""
    asked = sum(row["term"] in open_terms for row in rows)
    if asked:
        return (
            f"{asked} of these are among the terms you are asked about: they sit between groups, "
            "and no tree places them well."
        )
    return "None of these is in doubt: the tree bends at them, and their classes hold."


def ties(number: int) -> str:
    """Say what terms whose class hangs on ties mean."""
    return (
        f"{'This term stands' if number == 1 else f'These {number} terms stand'} where the "
        "alphabet put them; the sorts do not tell. Decide, or leave them marked."
    )


def classes(
    rows: Sequence[Row],
    names: Mapping[str, str],
    labels: Mapping[str, str],
    published: Iterable[Row],
) -> str:
    """
    Say which classes of the data hold, and what became of those that do not.

    Parameters
    ----------
    rows, published : sequence of dict
        Rows of `classes.csv` and of `tiers/published.csv`.
    names, labels : mapping of str to str
        Of published classes and of terms.
    """
    weak = [row for row in rows if not row["holds"]]
    if not weak:
        return f"All {len(rows)} classes of the data hold; none has to be merged or defended."
    places = {row["term"]: row for row in published}
    called = "; ".join(weak_class(row, names, labels, places) for row in weak)
    said = f"{len(rows) - len(weak)} of {len(rows)} classes of the data hold. Not: {called}."
    if any(row["reason"] == "few_terms" and row["jaccard"] >= STABLE for row in weak):
        said += (
            " That a class of one term comes back in the redraws says that the term stands alone; "
            "it is too small for a class all the same."
        )
    return f"{said} A weak class that is published is marked and yours to keep or dissolve."


def weak_class(
    row: Row, names: Mapping[str, str], labels: Mapping[str, str], places: Mapping[str, Row]
) -> str:
    """Return a class that does not hold, with where its terms stand if all were moved."""
    own = row["class"]
    members = [places[term] for term in row["members"] if term in places]
    if members and all(one["status"] == "moved" for one in members):
        where = ", ".join(dict.fromkeys(one["class_name"] for one in members))
        return f"{labels.get(own, own)} (moved by decision, now in {where})"
    return names.get(own) or labels.get(own, own)


def pairs(unclear: float) -> str:
    """Say how clear the blocks are; `unclear` is the share of pairs neither together nor apart."""
    if unclear <= CLEAR:
        return (
            "Nearly all pairs of terms are clearly in one class or clearly apart when people are "
            "redrawn: the blocks are no accident of who came."
        )
    return (
        f"{100 * unclear:.0f} % of the pairs are now in one class, now apart, when people are "
        "redrawn: take the edges of the blocks as blurred."
    )


def as_good(rows: Sequence[Row], chosen: int) -> list[int]:
    """Return the other numbers of classes that are ranked about as well as the one taken."""
    eligible = [
        row
        for row in rows
        if row["tier"] == "class" and row["below_null"] and row["mean_rank"] == row["mean_rank"]
    ]
    ranks = sorted(
        (row["mean_rank"], row["n_classes"]) for row in eligible if row["mean_rank"] is not None
    )
    return [n for rank, n in ranks if n != chosen and rank - ranks[0][0] <= HALF]


def numbers(rows: Sequence[Row], chosen: int) -> str:
    """Say how much the number of classes is a choice; rows of `class_counts.csv`."""
    others = as_good(rows, chosen)
    if others:
        said = " or ".join(map(str, others))
        return (
            f"Cut from the data, {said} classes would do about as well as the {chosen} taken: the "
            "number is yours to choose."
        )
    return f"No other number of classes considered is ranked about as well as the {chosen} taken."


def end_of_range(words: str, number: Mapping[str, Any]) -> str:
    """
    Say that a number stands at an end of the range of the settings; nothing if it does not.

    Parameters
    ----------
    words : str
        "classes" or "subclasses".
    number : mapping
        Its part of `bootstrap.json`.
    """
    taken, (low, high) = number["number"], number["range"]
    if number["fixed"] or low == high or taken not in (low, high) or taken <= FEWEST_CLASSES:
        return ""
    end, further = ("upper", "more") if taken == high else ("lower", "fewer")
    return (
        f"The {taken} {words} stand at the {end} end of the range {low} to {high} "
        f"(tiers.{words}_range): whether {further} would do better was not looked at."
    )
