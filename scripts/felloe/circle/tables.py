"""The tables of the circle: the map, who stands where, and how sure the neighbours are."""

from collections.abc import Sequence
from pathlib import Path

from felloe.ground.files.tables import Column, Row, Table

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
        Column("other_class", "id", "another class", unit="class id"),
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
    """Return the rows of a ring, beginning where one class, else one subclass, follows another."""
    seams = (
        i
        for tier in ("class", "subclass")
        for i in range(len(rows))
        if rows[i - 1][tier] != rows[i][tier]
    )
    begin = next(seams, 0)
    return [*rows[begin:], *rows[:begin]]
