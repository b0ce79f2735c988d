"""The tables of the circle: the map, who stands where, and how sure the neighbours are."""

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from felloe.circle.map.disparities import Model
from felloe.circle.map.map_evidence import BestMap, Standing, angles_about_centre
from felloe.circle.map.procrustes import Ellipses
from felloe.circle.map.scaling import stress_per_point
from felloe.circle.ring.adjacency import Adjacency
from felloe.circle.ring.gaps import CLASS, SAME, SUBCLASS
from felloe.circle.ring.layout import Layout, OuterRing
from felloe.ground.arrays import Floats
from felloe.ground.distances import Distances
from felloe.ground.files.tables import Column, Row, Table
from felloe.ground.partition import Partition
from felloe.ground.rounding import PRODUCT_DECIMALS
from felloe.ground.squares import upper
from felloe.ground.terms import Terms, check_same
from felloe.ground.tree import Tree
from felloe.tiers.tables import PLACES
from felloe.validation.tables import SECTORS

GRADES = {SAME: "none", SUBCLASS: "subclass", CLASS: "class"}

ORDER = Table(
    "circle/order.csv",
    "Who stands where on the outer ring.",
    (
        Column("term", "id", "term, in order around the circle"),
        Column("class", "id", "class", unit="class id"),
        Column("subclass", "id", "subclass"),
        Column("start_deg", "degrees", "start of the sector, clockwise from the top"),
        Column("end_deg", "degrees", "end of the sector"),
        Column("gap_after_deg", "degrees", "gap to the next sector"),
        Column(
            "join_height_to_next",
            "number",
            "height at which the term and the next one join",
            unit="share",
        ),
        Column("gap_grade", "text", "none, or the tier whose boundary the gap is"),
    ),
)

ORDER_DATA_ONLY = Table(
    "circle/order_data_only.csv",
    "Who would stand where if the data alone decided.",
    ORDER.columns,
)

ADJACENCY = Table(
    "circle/adjacency.csv",
    "How often two classes are neighbours on the ring when participants are redrawn.",
    (
        Column("class", "id", "class", unit="class id"),
        Column("other_class", "id", "another class", unit="class id", heading="next class"),
        Column("support", "share", "share of redrawn studies in which the two are neighbours"),
        Column("neighbours", "yes/no", "whether they are neighbours on the chart"),
    ),
)

CLASS_NEIGHBOURS = Table(
    "circle/class_neighbours.csv",
    "How often two classes are neighbours when participants are redrawn, whatever is drawn.",
    ADJACENCY.columns[:3],
)

POINTS = Table(
    "circle/points.csv",
    "Where each term lies on the map, before participants are redrawn.",
    (
        Column("term", "id", "term"),
        Column("x", "number", "first coordinate", unit="map unit"),
        Column("y", "number", "second coordinate", unit="map unit"),
        Column("angle_deg", "degrees", "direction from the middle of the map"),
        Column(
            "stress_percent", "number", "the term's part in the misfit of the map", unit="percent"
        ),
    ),
)

ELLIPSES = Table(
    "circle/ellipses.csv",
    "Where the maps of redrawn participants put each term.",
    (
        Column("term", "id", "term"),
        Column(
            "ellipse_x",
            "number",
            "middle of the bootstrap ellipse, first coordinate",
            unit="map unit",
        ),
        Column("ellipse_y", "number", "middle of the ellipse, second coordinate", unit="map unit"),
        Column("ellipse_major", "number", "longer half axis", unit="map unit"),
        Column("ellipse_minor", "number", "shorter half axis", unit="map unit"),
        Column("ellipse_tilt_deg", "degrees", "tilt of the longer axis"),
    ),
)

MAP = Table(
    "circle/map.csv",
    "Where each term lies on the map.",
    (*POINTS.columns, *ELLIPSES.columns[1:]),
)

NULL_STRESS = Table(
    "circle/null_stress.csv",
    "How well maps fit that are made of the same sorts with their terms shuffled.",
    (
        Column("replicate", "count", "number of the shuffle", unit="number"),
        Column("stress_1", "number", "least stress-1 found", unit="index"),
    ),
)

SHEPARD = Table(
    "circle/shepard.csv",
    "How far two terms are apart in the data and on the map.",
    (
        Column("term_a", "id", "first term of the pair"),
        Column("term_b", "id", "second term of the pair"),
        Column("dissimilarity", "share", "share of people who kept the two apart"),
        Column("distance", "number", "distance on the map", unit="map unit"),
        Column("disparity", "number", "distance that would fit the data exactly", unit="map unit"),
    ),
)

DIMENSIONS = Table(
    "circle/dimensions.csv",
    "The least stress for each number of dimensions.",
    (
        Column("dimensions", "count", "number of dimensions", unit="number"),
        Column("stress_1", "number", "least stress-1 found", unit="index"),
    ),
)

TABLES = (
    ORDER,
    ORDER_DATA_ONLY,
    CLASS_NEIGHBOURS,
    ADJACENCY,
    POINTS,
    ELLIPSES,
    NULL_STRESS,
    MAP,
    SHEPARD,
    DIMENSIONS,
)


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
    CLASS_NEIGHBOURS.write(
        path,
        (
            (one, other, support.of(one, other))
            for i, one in enumerate(support.classes)
            for other in support.classes[i + 1 :]
        ),
    )


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
    """
    shares = np.zeros((len(classes), len(classes)))
    for row in CLASS_NEIGHBOURS.read(path):
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
        (
            (one, other, support.of(one, other), frozenset((one, other)) in drawn)
            for i, one in enumerate(support.classes)
            for other in support.classes[i + 1 :]
        ),
    )


def write_points(path: str | Path, found: BestMap) -> None:
    """Write where each term lies."""
    angles = np.round(np.degrees(angles_about_centre(found.points)), PRODUCT_DECIMALS)
    shares = stress_per_point(found.points, found.disparities)
    columns = zip(found.terms, *found.points.T, angles, shares, strict=True)
    POINTS.write(path, list(columns))


def read_standing(points: str | Path, record: Mapping[str, Any], ties: str) -> Standing:
    """
    Read the map as redrawn ones are laid over it.

    Parameters
    ----------
    points : path
        `circle/points.csv`.
    record : mapping
        `circle/scaling.json`.
    ties : {'primary', 'secondary'}

    Returns
    -------
    Standing
    """
    rows = POINTS.read(points)
    places = np.array([[row["x"], row["y"]] for row in rows])
    return Standing(Terms(row["term"] for row in rows), Model(record["type"], ties), places)


def write_ellipses(path: str | Path, terms: Terms, ellipses: Ellipses) -> None:
    """Write where redrawn maps put each term."""
    ELLIPSES.write(
        path,
        (
            {
                "term": term,
                "ellipse_x": ellipses.centres[place, 0],
                "ellipse_y": ellipses.centres[place, 1],
                "ellipse_major": ellipses.half_axes[place, 0],
                "ellipse_minor": ellipses.half_axes[place, 1],
                "ellipse_tilt_deg": ellipses.tilt_deg[place],
            }
            for place, term in enumerate(terms)
        ),
    )


def write_map(path: str | Path, points: str | Path, ellipses: str | Path) -> None:
    """Write where each term lies and where redrawn maps put it, side by side."""
    places, redrawn = POINTS.read(points), ELLIPSES.read(ellipses)
    mapped, drawn = (Terms(row["term"] for row in rows) for rows in (places, redrawn))
    check_same(mapped, drawn, POINTS.path, ELLIPSES.path)
    MAP.write(path, ({**one, **other} for one, other in zip(places, redrawn, strict=True)))


def write_null_stress(path: str | Path, null: Floats) -> None:
    """Write the stress-1 of maps without structure."""
    NULL_STRESS.write(path, list(enumerate(null.tolist(), 1)))


def read_null_stress(path: str | Path) -> Floats:
    """Read the stress-1 of maps without structure."""
    return np.array([row["stress_1"] for row in NULL_STRESS.read(path)])


def write_shepard(path: str | Path, found: BestMap) -> None:
    """Write what every pair should be and is apart, from the most to the least similar."""
    i, j = upper(len(found.terms))
    order = np.lexsort((found.distances, found.wanted))
    SHEPARD.write(
        path,
        (
            {
                "term_a": found.terms[i[pair]],
                "term_b": found.terms[j[pair]],
                "dissimilarity": found.wanted[pair],
                "distance": found.distances[pair],
                "disparity": found.disparities[pair],
            }
            for pair in order.tolist()
        ),
    )


def read_directions(path: str | Path) -> dict[str, float]:
    """Return the direction of every term from the middle of the map, radians, by term."""
    return {row["term"]: float(np.radians(row["angle_deg"])) for row in POINTS.read(path)}


def read_spans(path: str | Path) -> dict[str, tuple[float, float]]:
    """
    Read where each class stands.

    Parameters
    ----------
    path : path
        `circle/order.csv`.

    Returns
    -------
    dict of str to (float, float)
        First and last degree of each class in order around the circle; the last may pass 360.
    """
    spans: dict[str, tuple[float, float]] = {}
    for row in from_a_boundary(ORDER.read(path)):
        start, end = row["start_deg"], row["end_deg"]
        first = spans.get(row["class"], (start, end))[0]
        spans[row["class"]] = first, end if end >= first else end + 360.0
    return spans


def from_a_boundary(rows: Sequence[Row]) -> list[Row]:
    """Return the rows of a ring, beginning where one class follows another."""
    begin = next((i for i in range(len(rows)) if rows[i - 1]["class"] != rows[i]["class"]), 0)
    return [*rows[begin:], *rows[:begin]]
