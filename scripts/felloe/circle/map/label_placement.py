"""Places for labels beside crowded points, so that none covers another."""

import numpy as np

from felloe.ground.arrays import Array, Bools, Floats

Bounds = tuple[float, float, float, float]

STEPS = 24  # directions tried around a point
RADII = (0.0, 1.2, 2.6, 4.2, 6.0, 8.0, 10.5, 13.5, 17.0, 21.0, 26.0)  # beyond the point, in mm
AIR = 0.5  # mm kept free around a label


def place_labels(
    points: Array, sizes: Array, bounds: Bounds, point_radius: float = 0.8
) -> tuple[Floats, Bools]:
    """
    Choose a place for the label of every point.

    Crowded points choose first, each the nearest place whose label covers no point and no
    label placed before; where none is free, the place with the least overlap.

    Parameters
    ----------
    points : (n, 2) array of float
        Millimetres.
    sizes : (n, 2) array of float
        Width and height of each label, millimetres.
    bounds : (float, float, float, float)
        Left, bottom, right and top that no label may cross.
    point_radius : float

    Returns
    -------
    centres : (n, 2) array of float
        Of the labels.
    far : (n,) array of bool
        Labels that need a line to their point.
    """
    points, sizes = np.asarray(points, dtype=float), np.asarray(sizes, dtype=float)
    apart = np.hypot(*(points[:, None] - points[None]).transpose(2, 0, 1))
    order = np.argsort(-(apart < 12.0).sum(axis=1), kind="stable")
    obstacles = [_box(point, (2 * point_radius, 2 * point_radius)) for point in points]
    centres, far = np.empty_like(points), np.zeros(len(points), dtype=bool)
    for i in order:
        options, distances = _candidates(points[i], sizes[i], point_radius)
        boxes = _box(options, sizes[i] + 2 * AIR)
        costs = _overlap(boxes, np.array(obstacles)).sum(axis=1) * 100.0 + distances
        costs += 1e4 * _outside(boxes, bounds)
        best = int(np.argmin(np.round(costs, 6)))
        centres[i], far[i] = options[best], distances[best] > RADII[1]
        obstacles.append(boxes[best])
    return centres, far


def _candidates(point: Floats, size: Floats, point_radius: float) -> tuple[Floats, Floats]:
    """Centres of label places around a point, nearest ring first, and their distances."""
    angles = 2 * np.pi * np.arange(STEPS) / STEPS
    direction = np.stack([np.cos(angles), np.sin(angles)], axis=1)
    reach = np.array(RADII)[:, None, None] + point_radius + AIR
    # the label's own half size along the direction, so that its edge touches the ring
    half = np.minimum(
        size[0] / 2 / np.maximum(np.abs(direction[:, 0]), 1e-9),
        size[1] / 2 / np.maximum(np.abs(direction[:, 1]), 1e-9),
    )
    options = point + direction[None] * (reach + half[None, :, None])
    preference = 0.02 * np.arange(STEPS)[None, :] * np.ones((len(RADII), 1))
    distances = np.array(RADII)[:, None] + preference
    return options.reshape(-1, 2), distances.ravel()


def _box(centres: Array, size: Array | tuple[float, float]) -> Floats:
    """Return left, bottom, right, top of boxes around centres."""
    centres, half = np.asarray(centres, dtype=float), np.asarray(size, dtype=float) / 2
    return np.concatenate([centres - half, centres + half], axis=-1)


def _overlap(boxes: Floats, others: Floats) -> Floats:
    """Return the overlapping area of each two boxes."""
    width = np.minimum(boxes[:, None, 2], others[None, :, 2]) - np.maximum(
        boxes[:, None, 0], others[None, :, 0]
    )
    height = np.minimum(boxes[:, None, 3], others[None, :, 3]) - np.maximum(
        boxes[:, None, 1], others[None, :, 1]
    )
    area: Floats = np.maximum(width, 0.0) * np.maximum(height, 0.0)
    return area


def _outside(boxes: Floats, bounds: Bounds) -> Floats:
    """Return how far boxes reach over the bounds."""
    left, bottom, right, top = bounds
    over = np.stack(
        [left - boxes[:, 0], bottom - boxes[:, 1], boxes[:, 2] - right, boxes[:, 3] - top]
    )
    reach: Floats = np.maximum(over, 0.0).sum(axis=0)
    return reach
