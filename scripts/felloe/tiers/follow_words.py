"""What follows from the tables on questions, prices and decisions, in a sentence each."""

import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence

from felloe.ground.files.numbers import shown
from felloe.ground.files.tables import Row
from felloe.tiers.tables import BETTER, SEEN

NUMBER = re.compile(r"\bclasses: (\d+)")  # in a setting of `regroupings.csv`


def asked(rows: Sequence[Row]) -> str:
    """Say what happens if nothing is decided; rows of `question_words.terms`."""
    marked = sum(row["status"] in ("undecided", "doubtful") for row in rows)
    sensitive = len(rows) - marked
    told = []
    if marked:
        told.append(f"{counted(marked)} on the chart marked as not settled")
    if sensitive:
        told.append(f"{counted(sensitive)} unmarked")
    return f"If you decide nothing, {' and '.join(told)}, each where the tree put it."


def counted(n: int) -> str:
    """Return a number of terms that stay, with its verb."""
    return f"{n} term{'' if n == 1 else 's'} stand{'s' if n == 1 else ''}"


def favoured(rows: Sequence[Row], labels: Mapping[str, str]) -> str:
    """
    Say which moves the redraws back, and what the others cost.

    Parameters
    ----------
    rows : sequence of dict
        Of `question_words.alternatives`.
    labels : mapping of str to str
    """
    better = dict.fromkeys(
        labels.get(row["term"], row["term"])
        for row in rows
        if row["home_probability"] > row["home_probability_now"]
    )
    if not better:
        said = (
            "No move to another class is backed by more redraws than the place where the term "
            "stands: each needs a reason that the sorts do not give."
        )
    else:
        said = (
            f"More redraws back the move than the present place of {', '.join(better)}. Every "
            "other move to another class needs a reason that the sorts do not give."
        )
    return " ".join([said, *within_class(rows, labels)])


def within_class(rows: Iterable[Row], labels: Mapping[str, str]) -> Iterator[str]:
    """Yield what moves to another subclass of the same class do to the fit."""
    moves = [row for row in rows if row["within"]]
    fitter = [
        f"{labels.get(row['term'], row['term'])} to {row['place']}"
        for row in moves
        if any(row.get(f"{name}_change", 0.0) * sign > SEEN for name, sign in BETTER.items())
    ]
    if moves:
        yield "A move within the class leaves the term's redraws as they are."
    if fitter:
        yield f"It makes at least one measure of fit better for {'; '.join(fitter)}."


def regroupings(rows: Iterable[Row]) -> str:
    """Say which other classes would be more distinct; rows of `question_words.regroupings`."""
    found = list(rows)
    better = [row for row in found if row["silhouette_class_change"] > 0]
    if not found:
        return "No other classes were considered."
    if not better:
        return "None of these makes the classes more distinct: keep them unless you have a reason."
    told = "; ".join(
        f"{row['what']} (moves {row['n_terms']} term{'' if row['n_terms'] == 1 else 's'})"
        for row in better
    )
    return f"More distinct classes than published would come of: {told}."


def regrouped(rows: Iterable[Row], asked: Iterable[Row], labels: Mapping[str, str]) -> str:
    """
    Say which regroupings move terms that are asked about and make classes more distinct.

    Parameters
    ----------
    rows, asked : iterable of dict
        Of `question_words.regroupings` and `question_words.terms`.
    labels : mapping of str to str
    """
    wanted = {row["term"] for row in asked}
    said = []
    for row in rows:
        here = [labels.get(term, term) for term in row["terms"] if term in wanted]
        if here and row["silhouette_class_change"] > 0:
            said.append(f"{row['what']} (takes {', '.join(here)}; setting: {row['setting']})")
    if not said:
        return ""
    ways = "; ".join(said)
    return f"In place of moving terms one by one, classes would be more distinct by: {ways}."


def one_or_two(
    rows: Iterable[Row],
    as_good: Sequence[int],
    taken: int,
    asked: Iterable[Row],
    labels: Mapping[str, str],
    names: Mapping[str, str],
) -> list[str]:
    """
    Ask whether neighbouring classes are one class or two, where the data leave that open.

    Parameters
    ----------
    rows, asked : iterable of dict
        Rows of `regroupings.csv` and of `question_words.terms`.
    as_good : sequence of int
        Numbers of classes that would do about as well as the one taken.
    taken : int
        Number of classes cut from the data.
    labels, names : mapping of str to str
        Of terms and of classes.

    Returns
    -------
    list of str
        A paragraph for each pair that such a number merges.
    """
    wanted, said = list(asked), []
    for row in rows:
        number = NUMBER.search(row["setting"])
        if row["kind"] != "merge" or number is None or int(number[1]) not in as_good:
            continue
        pair = {row["class"], row["other"]}
        between = [
            labels.get(one["term"], one["term"])
            for one in wanted
            if {one["class"], one["rival_class"]} == pair
        ]
        settled = f" That would settle {', '.join(between)}: answer it first." if between else ""
        both = " and ".join(names.get(one, one) for one in (row["class"], row["other"]))
        said.append(
            f"{both}: one class or two? Cut from the data, {number[1]} classes would do about as "
            f"well as the {taken} taken, and then these two are one.{settled} No row of the ballot "
            f"asks this; what makes them one is the setting {row['setting']}."
        )
    return said


def decisions(rows: Iterable[Row]) -> str:
    """Say how many decisions count; rows of `decisions.csv`."""
    states = [row["status"] for row in rows]
    void = states.count("void")
    kept = len(states) - void
    if not void:
        return f"{'It stands' if kept == 1 else f'All {kept} stand'} on the published chart."
    return (
        f"{kept} of {len(states)} {'counts' if kept == 1 else 'count'}; {void} came to nothing and "
        "can be taken back, or kept for when the data change."
    )


def prices(
    rows: Iterable[Row], labels: Mapping[str, str], undecided: float, held: Iterable[Row]
) -> str:
    """
    Say which decisions go against the sorts: fewer redraws than for an undecided term.

    Parameters
    ----------
    rows, held : iterable of dict
        Rows of `decisions.csv` and of `sensitivity/terms.csv`.
    labels : mapping of str to str
    undecided : float
        Home-class probability below which a term is undecided.
    """
    analyses = {row["term"]: row for row in held}
    against = [
        row for row in rows if row["status"] != "void" and row["home_probability_after"] < undecided
    ]
    if not against:
        return "No decision goes against the sorts."
    told = "; ".join(
        labels.get(row["term"], row["term"]) + backed(row, analyses.get(row["term"]))
        for row in against
    )
    return (
        f"Against the sorts stand{'s' if len(against) == 1 else ''}: {told}. Such a place rests on "
        "the reason given more than on what people sorted."
    )


def backed(decided: Row, analysed: Row | None) -> str:
    """Return how many redraws and analyses put a term where a decision did, in brackets."""
    told = f"{shown(decided['home_probability_after'], 'percent')} of redraws"
    if analysed:
        told += f" and {backing(analysed)} analyses"
    return f" ({told} put it there too)"


def backing(row: Row) -> str:
    """Return how many of the analyses give a term its class; a row of `sensitivity/terms.csv`."""
    return f"{round(row['share_of_universes'] * row['n_universes'])} of {row['n_universes']}"


def undecided(rows: Iterable[Row], differing: Collection[str]) -> str:
    """
    Say whether the populations pull apart.

    Parameters
    ----------
    rows : iterable of dict
        Rows of `undecided.csv`.
    differing : collection of str
        Terms that the populations place differently beyond noise.
    """
    rows = list(rows)
    apart = sum(not row["populations_agree"] for row in rows)
    if not apart:
        return (
            "The populations lean the same way, so that asking more of the same people is no help."
        )
    told = f"For {apart} of these the populations lean different ways"
    if any(row["term"] in differing for row in rows if not row["populations_agree"]):
        return f"{told}: a place for the term is a choice of whom the chart is for."
    return (
        f"{told}. The test of single terms finds no difference there beyond granularity and noise "
        "(section on pooling), so take it as a hint to ask both, not as a finding."
    )
