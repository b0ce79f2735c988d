"""What follows from the analyses with other choices, and which choice moves which terms."""

from collections.abc import Iterable, Mapping, Sequence

from felloe.ground.files.tables import Row
from felloe.tiers.follow_words import backing

CHOICES = {
    "screening": "screening",
    "weighting": "weighting",
    "linkage": "linkage",
    "n_classes": "number of classes",
}
TWICE = 2.0  # as often as without it: from here a choice is named; rule of thumb, no source


def held(rows: Sequence[Row], enough: float) -> str:
    """Say how many terms other choices leave where they are; rows of `terms.csv`."""
    few = sum(row["share_of_universes"] < enough for row in rows)
    if not few:
        return (
            f"Every term keeps its class in at least {100 * enough:g} % of the analyses: the "
            "chart does not hang on how it was computed."
        )
    return (
        f"{len(rows) - few} of {len(rows)} terms keep their class in at least "
        f"{100 * enough:g} % of the analyses. For the other {few} somebody who chose otherwise, "
        "with as good reasons, would publish another class."
    )


def cause(universes: Iterable[Row], terms: Iterable[str]) -> tuple[str, str, float, float] | None:
    """
    Return which single choice moves some terms most.

    Parameters
    ----------
    universes : iterable of dict
        Rows of `universes.csv`.
    terms : iterable of str

    Returns
    -------
    (choice, option, share with it, share without it), or None
        Shares of terms that move, over the analyses with and without the option. None where no
        option moves them at least twice as often as the others do.
    """
    rows, asked = list(universes), set(terms)
    if not asked:
        return None
    moved = [len(asked & set(row["terms_changing"] or ())) / len(asked) for row in rows]
    found: list[tuple[float, str, str, float, float]] = []
    for choice in CHOICES:
        for option in sorted({str(row[choice]) for row in rows}):
            inside, outside = parted(moved, [str(row[choice]) == option for row in rows])
            if inside and outside:
                with_it, without = sum(inside) / len(inside), sum(outside) / len(outside)
                found.append((with_it - without, choice, option, with_it, without))
    if not found:
        return None
    _, choice, option, with_it, without = max(found)
    if with_it == 0 or with_it < TWICE * without:
        return None
    return choice, option, with_it, without


def parted(values: Sequence[float], chosen: Sequence[bool]) -> tuple[list[float], list[float]]:
    """Return the values that are chosen, and the others."""
    pairs = list(zip(values, chosen, strict=True))
    return [value for value, yes in pairs if yes], [value for value, yes in pairs if not yes]


def cause_sentence(universes: Iterable[Row], terms: Mapping[str, str]) -> str:
    """Say which choice moves some terms, by id and label; "" where none stands out."""
    found = cause(universes, terms)
    if found is None:
        return ""
    choice, option, inside, outside = found
    return (
        f"What moves them most is the {CHOICES[choice]}: with {option!r} a term leaves its class "
        f"in {100 * inside:.0f} % of the analyses, otherwise in {100 * outside:.0f} %."
    )


def blocks(
    universes: Iterable[Row],
    published: Iterable[Row],
    terms: Iterable[str],
    labels: Mapping[str, str],
    names: Mapping[str, str],
) -> str:
    """
    Say which terms leave their class together, and that the class they come to is not told.

    Parameters
    ----------
    universes, published : iterable of dict
        Rows of `universes.csv` and `tiers/published.csv`.
    terms : iterable of str
        Those asked about.
    labels, names : mapping of str to str
        Of terms and of classes.

    Returns
    -------
    str
        "" where no term is asked about.
    """
    away = [set(row["terms_changing"] or ()) for row in universes]
    class_of, wanted = {row["term"]: row["class"] for row in published}, list(terms)
    said = []
    for own in dict.fromkeys(class_of[term] for term in wanted):
        asked = {term: labels.get(term, term) for term in wanted if class_of[term] == own}
        leaving = [gone for gone in away if gone & set(asked)]
        whole = sum(set(asked) <= gone for gone in leaving)
        told = f"{len(leaving)} of {len(away)} analyses take {', '.join(asked.values())} out of "
        told += names.get(own, own)
        if len(asked) > 1:
            always = whole == len(leaving)
            told += ", always together" if always else f", all together in {whole} of these"
        with_them = companions(leaving, [t for t in class_of if class_of[t] == own], asked)
        if with_them:
            told += f", mostly with {', '.join(labels.get(term, term) for term in with_them)}"
        said.append(told)
    if not said:
        return ""
    return (
        f"{'; '.join(said)}. To which class is not recorded; sensitivity/universes.csv lists for "
        "each analysis which terms leave with them."
    )


def companions(
    leaving: Sequence[set[str]], members: Iterable[str], asked: Iterable[str]
) -> list[str]:
    """Return the other members of a class that are gone in most of some analyses."""
    known = set(asked)
    return [
        term
        for term in members
        if term not in known and 2 * sum(term in gone for gone in leaving) > len(leaving)
    ]


def named(rows: Sequence[Row], asked: Iterable[str], labels: Mapping[str, str]) -> str:
    """Say where the terms that few analyses keep are asked about, and which are not."""
    known = set(asked)
    other = [
        f"{labels.get(row['term'], row['term'])} ({backing(row)})"
        for row in rows
        if row["term"] not in known
    ]
    if not other:
        return "All of these are among the questions to you."
    return (
        f"{len(rows) - len(other)} of these are among the questions to you; not so "
        f"{', '.join(other)}, on which a decision was taken. The analyses chart the sorts without "
        "decisions; in brackets stands how many of them come to the same class."
    )
