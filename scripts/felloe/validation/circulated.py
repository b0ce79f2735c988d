"""The account of the participants as it may be passed on: no cell tells of a few people."""

from collections.abc import Callable, Mapping, Sequence

from felloe.ground.files.tables import Row
from felloe.ground.people.small_cells import is_small, joined_cells, told_count
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
    return [row for stages in by("population", rows) for row in flow_of(stages, least)]


def by(column: str, rows: Sequence[Row]) -> list[list[Row]]:
    """Return the rows of each value of a column, values in the order in which they appear."""
    groups: dict[str, list[Row]] = {}
    for row in rows:
        groups.setdefault(row[column], []).append(row)
    return list(groups.values())


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
        Reasons are joined within a stage if `flow` tells how many were lost before it.
    """
    return [
        row
        for members in by("population", rows)
        for total in totals_told(members, least)
        for row in exclusions_of(total, least)
    ]


def totals_told(members: Sequence[Row], least: int) -> list[list[Row]]:
    """Return the reasons of one population, apart where `flow` tells how many a stage lost."""
    stages = by("stage", members)
    if any(is_small(sum(row["n"] for row in stage), least) for stage in stages):
        return [list(members)]
    return stages


def exclusions_of(reasons: Sequence[Row], least: int) -> list[Row]:
    """Return the reasons behind one loss, those of a few as one."""
    counts = [row["n"] for row in reasons]
    places = joined_cells(counts, least)
    told = [dict(row) for place, row in enumerate(reasons) if place not in places]
    if places:
        n = told_count(sum(counts[place] for place in places), least)
        name = reasons[0]["population"]
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
