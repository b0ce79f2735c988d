"""The tables and the record of the circle: who stands where, and what the order is worth."""

import numpy as np

from felloe.circle.gaps import CLASS, SAME, SUBCLASS
from felloe.circle.layout import outer_ring
from felloe.ground.tables import Column, Table, number, read_table, write_table

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
        Column("join_height_to_next", "share", "height at which the term and the next one join"),
        Column("gap_grade", "text", "none, or the tier whose boundary the gap is"),
    ),
)

ORDER_DATA_ONLY = Table(
    "circle/order_data_only.csv",
    "Who would stand where if the data alone decided.",
    (
        Column("term", "id", "term, in order around the circle"),
        Column("class", "id", "class", unit="class id"),
        Column("subclass", "id", "subclass"),
        Column("start_deg", "degrees", "start of the sector, clockwise from the top"),
        Column("end_deg", "degrees", "end of the sector"),
        Column("gap_after_deg", "degrees", "gap to the next sector"),
        Column("join_height_to_next", "share", "height at which the term and the next one join"),
        Column("gap_grade", "text", "none, or the tier whose boundary the gap is"),
    ),
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

MAP = Table(
    "circle/map.csv",
    "Where each term lies on the map.",
    (
        Column("term", "id", "term"),
        Column("x", "number", "first coordinate", unit="map unit"),
        Column("y", "number", "second coordinate", unit="map unit"),
        Column("angle_deg", "degrees", "direction from the middle of the map"),
        Column(
            "stress_percent", "number", "the term's part in the misfit of the map", unit="percent"
        ),
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
    ADJACENCY,
    MAP,
    SHEPARD,
    DIMENSIONS,
)


ORDER_COLUMNS = [
    "term",
    "class",
    "subclass",
    "start_deg",
    "end_deg",
    "gap_after_deg",
    "join_height_to_next",
    "gap_grade",
]
GRADES = {SAME: "none", SUBCLASS: "subclass", CLASS: "class"}
ADJACENCY_COLUMNS = ["class", "other_class", "support", "neighbours"]


def read_outer_ring(tiers, terms, Z, D, sector_width):
    """
    Read the outer ring of a chart.

    Parameters
    ----------
    tiers : path
        `tiers/published.csv` or `tiers/data_only.csv`.
    terms : path
        `validation/terms.csv`.
    Z : (n - 1, 4) array of float
    D : (n, n) array of float
    sector_width : {'equal', 'column'}
        `column` takes the widths of the terms table, 1 where it says nothing.

    Returns
    -------
    OuterRing
    """
    rows = read_table(tiers)
    given = {row["term"]: row.get("width") or "1" for row in read_table(terms)}
    widths = [
        float(given.get(row["term"], "1")) if sector_width == "column" else 1.0 for row in rows
    ]
    names = [[row[column] for row in rows] for column in ("term", "class", "subclass")]
    absorbed = np.array([row.get("absorbed") == "yes" for row in rows])
    return outer_ring(*names, widths, absorbed, Z, D)


def read_angles(path, renamed=()):
    """
    Read where the terms of a circle stand.

    Parameters
    ----------
    path : path
        `circle/order.csv`.
    renamed : iterable of (str, str)
        Older and newer ids of terms.

    Returns
    -------
    dict of str to float
        Degrees of the middle of each sector, by the newer id.
    """
    newer = dict(renamed)
    return {
        newer.get(row["term"], row["term"]): (number(row["start_deg"]) + number(row["end_deg"]))
        / 2.0
        for row in read_table(path)
    }


def read_renamed(terms):
    """Return (older, newer) ids of the terms that say what they were called before."""
    return [
        (row["renamed_from"], row["term"]) for row in read_table(terms) if row.get("renamed_from")
    ]


def write_order(path, outer, layout):
    """Write one row per term of the outer ring, clockwise from the top."""
    ring = layout.ring
    rows = zip(
        layout.order.tolist(), ring.starts, ring.ends, ring.gaps, layout.heights, layout.grades
    )
    write_table(
        path,
        ORDER_COLUMNS,
        (
            [
                outer.terms[i],
                outer.classes[i],
                outer.subclasses[i],
                start,
                end,
                gap,
                height,
                GRADES[int(grade)],
            ]
            for i, start, end, gap, height, grade in rows
        ),
    )


def neighbours_around(outer, layout):
    """Return pairs of classes that are neighbours on the ring, in order around it."""
    around = [outer.classes[i] for i in layout.order]
    pairs = [(a, b) for a, b in zip(around, around[1:] + around[:1]) if a != b]
    unique = {frozenset(pair): pair for pair in reversed(pairs)}
    return [pair for pair in pairs if unique.get(frozenset(pair)) is pair]


def adjacency_rows(classes, support, pairs):
    """Return a row for each two classes: how often they are neighbours, and whether they are."""
    drawn = {frozenset(pair) for pair in pairs}
    return [
        [one, other, float(support[i, j]), frozenset((one, other)) in drawn]
        for i, one in enumerate(classes)
        for j, other in enumerate(classes)
        if i < j
    ]


def write_adjacency(path, rows):
    """Write how often two classes are neighbours."""
    write_table(path, ADJACENCY_COLUMNS, rows)


def read_map(path):
    """Return the direction of every term from the middle of the map, radians, by term."""
    return {row["term"]: np.radians(number(row["angle_deg"])) for row in read_table(path)}


def read_spans(path):
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
    rows = read_table(path)
    begin = next((i for i in range(len(rows)) if rows[i - 1]["class"] != rows[i]["class"]), 0)
    spans = {}
    for row in rows[begin:] + rows[:begin]:
        start, end = number(row["start_deg"]), number(row["end_deg"])
        first = spans.get(row["class"], (start, end))[0]
        spans[row["class"]] = first, end if end >= first else end + 360.0
    return spans
