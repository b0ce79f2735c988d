"""The map and its redraws, as rows of the tables and back."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np

from felloe.circle.map.disparities import Model
from felloe.circle.map.map_evidence import BestMap, Standing, angles_about_centre
from felloe.circle.map.procrustes import Ellipses
from felloe.circle.map.scaling import stress_per_point
from felloe.circle.tables import ELLIPSES, MAP, NULL_STRESS, POINTS, SHEPARD
from felloe.ground.arrays import Floats
from felloe.ground.rounding import PRODUCT_DECIMALS
from felloe.ground.squares import upper
from felloe.ground.terms import Terms, check_same


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
