"""What follows from the analyses with other choices, and which choice moves which terms."""

from collections.abc import Iterable, Mapping, Sequence

from felloe.ground.files.tables import Row

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


def backing(row: Row) -> str:
    """Return how many of the analyses give a term its published class; a row of `terms.csv`."""
    return f"{round(row['share_of_universes'] * row['n_universes'])} of {row['n_universes']}"
