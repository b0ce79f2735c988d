"""What is said of an allocation."""

from collections.abc import Mapping, Sequence
from typing import Any

from felloe.allocation.observers import Bound, Observers, deviation_by_chance, evenness
from felloe.errors import shortened

NAMED = 5  # pairs, terms or people named one by one

HEADING = "Observers of a pair of terms: how many people are shown both"
ALL_SHOWN = """\
{who} is shown all {terms} terms (design.{setting}). {so}"""
EVERYBODY = """\
That is a whole study:
its design.csv says no more than the order in which each person sees them."""
NEW_ONES = "For fewer, write a smaller number."
WHOLE = """\
Everybody was shown all {terms} terms: there are sorts ({sorts}) and no design.csv."""
NOBODY = """\
Nobody is named yet (participants.csv, invitations.csv): who would be shown which terms, and how
many people see both of two, is told once somebody is."""
WRITTEN = """\
Written: {path} ({people}, {lines} lines). Who was issued a set keeps it from now on:
typed again, the command adds who came late and changes no line."""
ADDED = """\
Added to {path}: {people} ({names}). Every line that was there is as it was."""
NOTHING = "Nothing was added: everybody is in {path} already."
NOT_WRITTEN = "No design was written. To write design.csv into the study's folder, add {option}."
REDO = """\
A run would refuse this design (see above: {populations}). As long as nobody has sorted, remove
{path}, invite more people or show more terms to each, and type the command again."""
NO_REDO = """\
A run would refuse this design (see above: {populations}). People have sorted by it, so it stays:
invite more people, and type the command again."""
EVENNESS = {
    "best": "no way of dealing the terms is more even",
    "near": "nearly as even as can be: a standard deviation below {least:.2f} is not possible",
    "expected": "as even as can be expected: of random sets the standard deviation is {chance:.2f}",
    "uneven": "less even than can be expected: of random sets the standard deviation is "
    "{chance:.2f}, and {least:.2f} at the best",
}
UNAVOIDABLE = "at least {pairs} are seen by nobody, however the terms are dealt"


def named(names: Sequence[str]) -> str:
    """Return a list of names, the first few of a long one."""
    shown = ", ".join(shortened(name) for name in names[:NAMED])
    return f"{shown} and {len(names) - NAMED:,} more" if len(names) > NAMED else shown


def counted(number: int, one: str, more: str) -> str:
    """Return a number with its noun."""
    return f"{number:,} {one if number == 1 else more}"


def span(low: int, high: int) -> str:
    """Return a range, or the number that both of its ends are."""
    return f"{low:,}" if low == high else f"{low:,} to {high:,}"


def observer_lines(
    name: str, found: Observers, limit: Bound | None, sizes: Sequence[int], terms: Sequence[str]
) -> list[str]:
    """
    Tell how the observers of a population's pairs are spread, beside what cannot be beaten.

    Parameters
    ----------
    name : str
        The population's label.
    found : Observers
    limit : Bound or None
        None where it is not judged.
    sizes : sequence of int
        Terms that each person is shown.
    terms : sequence of str
    """
    people = counted(found.people, "person", "people")
    each = f"{span(min(sizes), max(sizes))} of {found.terms:,} terms each"
    numbers = f"least {found.least}, median {found.median:g}, largest {found.largest}"
    spread = f"mean {found.mean:.2f}, standard deviation {found.spread:.2f}"
    unseen = [f"{terms[i]} / {terms[j]}" for i, j in found.unseen[:NAMED].tolist()]
    unseen += [""] * (len(found.unseen) - len(unseen))
    return [
        f"{name}: {people}, {each}, each term shown to {span(found.fewest, found.most)}",
        f"  {numbers}; {spread}; nobody sees {len(found.unseen):,} of {found.pairs:,} pairs",
        *([f"  unseen: {named(unseen)}"] if unseen else []),
        *(even_lines(found, limit, sizes) if limit else []),
    ]


def even_lines(found: Observers, limit: Bound, sizes: Sequence[int]) -> list[str]:
    """Tell whether what was dealt is as even as can be expected, and what is left unseen anyway."""
    chance = deviation_by_chance(sizes, found.terms)
    said = EVENNESS[evenness(found, limit, chance)].format(least=limit.spread, chance=chance)
    unseen = UNAVOIDABLE.format(pairs=counted(limit.unseen, "pair", "pairs"))
    return [f"  {said}", *([f"  {unseen}"] if limit.unseen else [])]


def all_shown(n_terms: int, design: Mapping[str, Any], only_new: bool) -> str:
    """Tell that everybody, or whoever is new, is shown the whole lexicon, and by which setting."""
    who, so = ("Whoever is new", NEW_ONES) if only_new else ("Everybody", EVERYBODY)
    name = "whole_up_to" if n_terms <= design["whole_up_to"] else "terms_per_participant"
    return ALL_SHOWN.format(who=who, terms=n_terms, setting=f"{name}: {design[name]}", so=so)


def never_shown(name: str, terms: Sequence[str]) -> str:
    """Tell which terms nobody of a population is shown, and what to do."""
    return (
        f"{name}: nobody is shown {named(terms)}.\nNothing will be known of what nobody sorts: "
        "invite more people, show more terms to each, or take these out of terms.csv."
    )


def too_many_unseen(name: str, share: float, most: float) -> str:
    """Tell that a study would be refused with so many pairs that nobody sees, and what to do."""
    return (
        f"{name}: nobody sees {share:.1%} of the pairs. With more than {most:.1%} a run refuses "
        "the study\n(matrices.most_unseen_pairs): invite more people, or show more terms to each."
    )


def late_terms(terms: Sequence[str], people: int) -> str:
    """Tell which terms nobody was issued, and what to do."""
    start = f"In terms.csv, and in no set that was issued: {named(terms)}.\n"
    if people:
        return (
            f"{start}New people are shown these first, and nobody else sorts them. If they came by "
            "mistake, take them out of terms.csv before you write."
        )
    return (
        f"{start}Nobody sorts them: add people to participants.csv, or take these terms out of "
        "terms.csv."
    )
