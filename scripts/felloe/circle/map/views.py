"""What the figures of map and ring show, put together from files."""

from collections.abc import Mapping
from pathlib import Path

import numpy as np

from felloe.circle.map.figure_map import MapView
from felloe.circle.map.figure_shepard import ShepardView
from felloe.circle.ring.figure_ring import RingView
from felloe.circle.tables import ADJACENCY, DIMENSIONS, MAP, SHEPARD, read_spans
from felloe.ground.arrays import Floats
from felloe.ground.files.records import read_json
from felloe.ground.files.tables import Row
from felloe.ground.many_terms import SHEPARD_PAIRS
from felloe.tiers.tables import PUBLISHED
from felloe.validation.tables import TERMS


def map_view(
    map: str | Path,
    record: str | Path,
    spans: Mapping[str, tuple[float, float]],
    colours: Mapping[str, str],
    published: str | Path,
    terms: str | Path,
    provisional: bool,
) -> MapView:
    """
    Put the map together with labels, classes and colours.

    Parameters
    ----------
    map, record : path
        `map.csv` and `map.json`.
    spans : mapping of str to (float, float)
        As `read_spans`: the classes in order around the ring.
    colours : mapping of str to str
        By class.
    published, terms : path
        `tiers/published.csv` and `validation/terms.csv`.
    provisional : bool
        Whether the chart is.

    Returns
    -------
    MapView
    """
    rows = MAP.read(map)
    words = {row["term"]: row["label"] for row in TERMS.read(terms)}
    tiers = {row["term"]: row for row in PUBLISHED.read(published)}
    names = {row["class"]: row["class_name"] for row in tiers.values()}
    return MapView(
        labels=tuple(words[row["term"]] for row in rows),
        points=columns(rows, "x", "y"),
        centres=columns(rows, "ellipse_x", "ellipse_y"),
        half_axes=columns(rows, "ellipse_major", "ellipse_minor"),
        tilt_deg=columns(rows, "ellipse_tilt_deg")[:, 0],
        classes=tuple(tiers[row["term"]]["class"] for row in rows),
        names={name: names[name] for name in spans},
        colours=dict(colours),
        record=read_json(record),
        provisional=provisional,
    )


def columns(rows: list[Row], *names: str) -> Floats:
    """Return some columns of numbers, (n_rows, n_names)."""
    return np.array([[row[name] for name in names] for row in rows], dtype=float)


def shepard_view(
    view: MapView, map: str | Path, shepard: str | Path, dimensions: str | Path
) -> ShepardView:
    """
    Put together how well a map follows the data.

    Of more than `SHEPARD_PAIRS` pairs every second, third and so on is shown.
    """
    n_pairs = len(view.labels) * (len(view.labels) - 1) // 2
    every = -(-n_pairs // SHEPARD_PAIRS.most)
    pairs = SHEPARD.read(shepard, every)
    return ShepardView(
        dissimilarities=columns(pairs, "dissimilarity")[:, 0],
        distances=columns(pairs, "distance")[:, 0],
        disparities=columns(pairs, "disparity")[:, 0],
        curve=[(row["dimensions"], row["stress_1"]) for row in DIMENSIONS.read(dimensions)],
        labels=view.labels,
        stress_percent=columns(MAP.read(map), "stress_percent")[:, 0],
        record=view.record,
        provisional=view.provisional,
        n_pairs=n_pairs,
    )


def ring_view(
    view: MapView, order: str | Path, adjacency: str | Path, record: str | Path
) -> RingView:
    """Put together the evidence of the order, with the map beside it."""
    support = {
        frozenset((row["class"], row["other_class"])): row["support"]
        for row in ADJACENCY.read(adjacency)
    }
    return RingView(read_spans(order), support, view, read_json(record))
