"""The ring and its neighbours, as rows of the tables and back."""

from collections.abc import Iterable, Mapping
from pathlib import Path

import numpy as np

from felloe.circle.ring.adjacency import Adjacency
from felloe.circle.ring.gaps import CLASS, SAME, SUBCLASS
from felloe.circle.ring.layout import Layout, OuterRing
from felloe.circle.tables import ADJACENCY, CLASS_NEIGHBOURS, ORDER
from felloe.ground.distances import Distances
from felloe.ground.files.tables import Table
from felloe.ground.groups.partition import Partition
from felloe.ground.groups.tree import Tree
from felloe.ground.terms import Terms, check_same
from felloe.tiers.tables import PLACES
from felloe.validation.tables import SECTORS

GRADES = {SAME: "none", SUBCLASS: "subclass", CLASS: "class"}


def read_outer_ring(
    chart: Table,
    path: str | Path,
    tree: Tree,
    distances: Distances,
    widths: Mapping[str, float],
) -> OuterRing:
    """
    Read the outer ring of a chart: its terms without those that became the name of a group.

    Parameters
    ----------
    chart : Table
        `PLACES` or `EVIDENCE` of the tiers.
    path : path
        That table.
    tree : Tree
    distances : Distances
    widths : mapping of str to float
        Of the sectors, by term.

    Returns
    -------
    OuterRing

    Raises
    ------
    DifferentTerms
        If chart, tree and distances are not about the same terms.
    """
    rows = chart.read(path)
    check_same(Terms(row["term"] for row in rows), tree.terms, "the chart", "the tree")
    whole = OuterRing(
        tree,
        distances,
        tuple(row["class"] for row in rows),
        tuple(row["subclass"] for row in rows),
        np.array([widths[row["term"]] for row in rows]),
    )
    return whole.without({row["term"] for row in rows if row.get("absorbed")})


def read_classes(path: str | Path) -> Partition:
    """Read the published classes of all terms, those off the ring included."""
    rows = PLACES.read(path)
    return Partition.of_ids((row["term"] for row in rows), [row["class"] for row in rows])


def read_ring_terms(path: str | Path) -> list[str]:
    """Read the terms of the published outer ring: those that no group's name has absorbed."""
    return [row["term"] for row in PLACES.read(path) if not row["absorbed"]]


def read_widths(path: str | Path, sector_width: str) -> dict[str, float]:
    """
    Read how wide the sector of every term is to be.

    Parameters
    ----------
    path : path
        `validation/sectors.csv`.
    sector_width : {'equal', 'column'}
        `column` takes the widths of the table, 1 where it says nothing.

    Returns
    -------
    dict of str to float
        In any unit, by term.
    """
    taken = sector_width == "column"
    return {
        row["term"]: row["width"] if taken and not np.isnan(row["width"]) else 1.0
        for row in SECTORS.read(path)
    }


def read_angles(path: str | Path, renamed: Mapping[str, str] | None = None) -> dict[str, float]:
    """
    Read where the terms of a circle stand.

    Parameters
    ----------
    path : path
        `circle/order.csv`.
    renamed : mapping of str to str
        Newer ids of terms by their older ones.

    Returns
    -------
    dict of str to float
        Degrees of the middle of each sector, by the newer id.
    """
    newer = renamed or {}
    return {
        newer.get(row["term"], row["term"]): (row["start_deg"] + row["end_deg"]) / 2.0
        for row in ORDER.read(path)
    }


def read_renamed(terms: str | Path) -> dict[str, str]:
    """Return the ids, by their older ones, of terms that say what they were called before."""
    return {row["renamed_from"]: row["term"] for row in SECTORS.read(terms) if row["renamed_from"]}


def write_order(path: str | Path, outer: OuterRing, layout: Layout) -> None:
    """Write one row per term of the outer ring, clockwise from the top."""
    ring = layout.ring
    ORDER.write(
        path,
        (
            {
                "term": outer.terms[i],
                "class": outer.classes[i],
                "subclass": outer.subclasses[i],
                "start_deg": ring.starts[place],
                "end_deg": ring.ends[place],
                "gap_after_deg": ring.gaps[place],
                "join_height_to_next": layout.heights[place],
                "gap_grade": GRADES[int(layout.grades[place])],
            }
            for place, i in enumerate(layout.order.tolist())
        ),
    )


def write_class_neighbours(path: str | Path, support: Adjacency) -> None:
    """Write how often each two classes are neighbours."""
    CLASS_NEIGHBOURS.write(path, support.pairs())


def read_class_neighbours(path: str | Path, classes: tuple[str, ...]) -> Adjacency:
    """
    Read how often each two classes are neighbours.

    Parameters
    ----------
    path : path
        `circle/class_neighbours.csv`.
    classes : tuple of str
        Of the published chart.

    Returns
    -------
    Adjacency

    Raises
    ------
    DifferentTerms
        If the table is about other classes.
    """
    rows, shares = CLASS_NEIGHBOURS.read(path), np.zeros((len(classes), len(classes)))
    told = {row[name] for row in rows for name in ("class", "other_class")}
    if len(classes) > 1:  # one class has no neighbours
        check_same(
            Terms(sorted(told)),
            Terms(sorted(classes)),
            CLASS_NEIGHBOURS.path,
            "the chart's classes",
        )
    for row in rows:
        one, other = classes.index(row["class"]), classes.index(row["other_class"])
        shares[one, other] = shares[other, one] = row["support"]
    return Adjacency(classes, shares)


def write_adjacency(path: str | Path, support: Adjacency, pairs: Iterable[tuple[str, str]]) -> None:
    """
    Write how often each two classes are neighbours, and whether they are on the chart.

    Parameters
    ----------
    path : path
    support : Adjacency
    pairs : iterable of (str, str)
        Neighbours on the chart.
    """
    drawn = {frozenset(pair) for pair in pairs}
    ADJACENCY.write(
        path,
        ((*pair, frozenset(pair[:2]) in drawn) for pair in support.pairs()),
    )
