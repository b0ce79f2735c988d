"""The account of the participants as it may be passed on: no cell tells of a few people."""

from collections.abc import Callable, Mapping, Sequence

from felloe.ground.files.tables import Row
from felloe.ground.small_cells import is_small, joined_cells
from felloe.validation.tables import EXCLUSIONS, FLOW

JOINED = ("joined",)  # in place of the rules, where several reasons are told as one


def flow(rows: Sequence[Row], least: int) -> list[Row]:
    """
    Return the flow of the participants without small cells.

    Parameters
    ----------
    rows : sequence of dict
        Rows of `validation/flow.csv`.
    least : int
        People that a cell has to tell of.

    Returns
    -------
    list of dict
        Where fewer than `least` of a population were lost, how many were received is not told,
        since it would say how many; where they were fewer at one of two stages, the two are told
        together. What is not told is None.
    """
    told = []
    for name in dict.fromkeys(row["population"] for row in rows):
        told += flow_of([row for row in rows if row["population"] == name], least)
    return told


def flow_of(stages: Sequence[Row], least: int) -> list[Row]:
    """Return the stages of one population, received first, without small cells."""
    lost = [row["lost"] for row in stages]
    if not any(is_small(n, least) for n in lost):
        return [dict(row) for row in stages]
    untold = {"n": None, "lost": None}
    first, *between, last = stages
    if is_small(sum(lost), least):
        before = [{**row, **untold} for row in (first, *between)]
        return [*before, {**last, "lost": None}]
    together = {**last, "lost": sum(lost)}
    return [dict(first), *({**row, **untold} for row in between), together]


def exclusions(rows: Sequence[Row], least: int) -> list[Row]:
    """
    Return for which reasons people were lost, without small cells.

    Parameters
    ----------
    rows : sequence of dict
        Rows of `validation/exclusions.csv`.
    least : int

    Returns
    -------
    list of dict
        Of each population the reasons of `least` people or more, then those of fewer as one row
        whose rules are `JOINED` and whose stage is empty. It names no reason, since their number
        and the total can say how many each had. Where all that were lost are fewer, `n` is None.
    """
    told = []
    for name in dict.fromkeys(row["population"] for row in rows):
        members = [row for row in rows if row["population"] == name]
        counts = [row["n"] for row in members]
        places = joined_cells(counts, least)
        told += [dict(row) for place, row in enumerate(members) if place not in places]
        if places:
            together = sum(counts[place] for place in places)
            n = None if is_small(together, least) else together
            told.append({"population": name, "stage": "", "rules": JOINED, "n": n})
    return told


def received(rows: Sequence[Row], least: int) -> int | None:
    """
    Return how many were received in all, None if that would say how many a few were.

    Parameters
    ----------
    rows : sequence of dict
        Rows of `validation/flow.csv`.
    least : int
    """
    firsts = [row["n"] for row in flow(rows, least) if row["stage"] == "received"]
    return None if None in firsts else sum(firsts)


VIEWS: Mapping[str, Callable[[Sequence[Row], int], list[Row]]] = {
    FLOW.path: flow,
    EXCLUSIONS.path: exclusions,
}
