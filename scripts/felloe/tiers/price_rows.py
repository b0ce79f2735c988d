"""Prices of moves and of other classes, as rows of their tables."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from felloe.ground.files.tables import Row
from felloe.ground.terms import check_same
from felloe.tiers.decisions import PRICES, Chart, Fit, changes
from felloe.tiers.prices import Move
from felloe.tiers.publishing import ClassShares
from felloe.tiers.regroupings import Regrouping, Setting
from felloe.tiers.tables import MOVES, PLACES, REGROUPINGS

REASON_TO_WRITE = "say why"  # stands in a setting that needs a reason


def read_absorbed(path: str | Path) -> list[str]:
    """Read the terms that stand on no ring, having become the name of a group."""
    return [row["term"] for row in PLACES.read(path) if row["absorbed"]]


def write_moves(
    path: str | Path, chart: Chart, priced: Iterable[tuple[Move, Fit]], shares: ClassShares
) -> None:
    """Write what moves would cost."""
    MOVES.write(path, move_rows(chart, priced, shares))


def move_rows(
    chart: Chart, priced: Iterable[tuple[Move, Fit]], shares: ClassShares
) -> Iterator[Row]:
    """
    Yield a row for each move.

    Parameters
    ----------
    chart : Chart
        The published one; its classes bear the ids of the data, which shares are known by.
    priced : iterable of (Move, Fit)
        Each move with the fit after it.
    shares : ClassShares
    """
    before = chart.fit()
    classes, subclasses = (
        dict(zip(chart.terms, part.of_terms, strict=True)) for part in chart.partitions()
    )
    column = {name: number for number, name in enumerate(shares.classes.ids)}
    check_same(chart.terms, shares.classes.terms, "the chart", "the shares")
    for move, after in priced:
        term, beside = move.term, move.beside
        now, then = (column[chart.classes[one]] for one in (term, beside))
        yield {
            "term": term,
            "class": classes[beside],
            "subclass": subclasses[beside],
            "beside": beside,
            "rank": move.rank,
            "similarity": move.similarity,
            "home_probability_now": shares.shares[move.place, now],
            "home_probability": shares.shares[move.place, then],
            **change_cells(before, after),
            "note": ";".join(move.notes),
        }


def write_regroupings(
    path: str | Path,
    before: Fit,
    ways: Iterable[Regrouping],
    study: str,
    branch_cuts: Sequence[Mapping[str, Any]],
) -> None:
    """Write what other classes would cost."""
    REGROUPINGS.write(path, regrouping_rows(before, ways, study, branch_cuts))


def regrouping_rows(
    before: Fit, ways: Iterable[Regrouping], study: str, branch_cuts: Sequence[Mapping[str, Any]]
) -> Iterator[Row]:
    """
    Yield a row for each way to other classes.

    Parameters
    ----------
    before : Fit
        Of the published chart.
    ways : iterable of Regrouping
    study : str
    branch_cuts : sequence of mappings
        Those of the settings, which a further one has to stand beside.
    """
    for way in ways:
        yield {
            "kind": way.kind,
            "class": way.of_class,
            "other": way.other,
            "classes": way.n_classes,
            "terms": way.terms,
            "n_terms": len(way.terms),
            **change_cells(before, way.fit),
            "setting": setting_text(way.setting, study, branch_cuts),
            "note": way.note,
        }


def change_cells(before: Fit, after: Fit | None) -> Row:
    """Return the cells of what changes; empty ones where there is no chart."""
    if after is None:
        return {f"{name}_change": None for name in PRICES}
    return {f"{name}_change": value for name, value in changes(before, after).items()}


def setting_text(setting: Setting, study: str, branch_cuts: Sequence[Mapping[str, Any]]) -> str:
    """Return what is to be written into the settings, as YAML on one line."""
    import yaml

    told: dict[str, Any] = {}
    if setting.classes:
        told["classes"] = setting.classes
    if setting.subclasses:
        told["subclasses"] = setting.subclasses
    if setting.cut:
        cut = {"term": setting.cut, "study": study, "subclasses": 2, "reason": REASON_TO_WRITE}
        told["branch_cuts"] = [*map(dict, branch_cuts), cut]
    if not told:
        return ""
    flow = yaml.safe_dump(told, default_flow_style=True, sort_keys=False, width=10**6)
    return f"tiers: {flow.strip()}"
