"""What a map of terms is worth: restarts, a null, more dimensions, redrawn participants."""

from dataclasses import dataclass

import numpy as np

from felloe.circle.agreement import fisher_lee
from felloe.circle.disparities import Targets
from felloe.circle.procrustes import align, ellipses
from felloe.circle.scaling import (
    DECIMALS,
    canonical_pose,
    classical_scaling,
    pair_distances,
    scale,
    stress_1,
    upper,
)
from felloe.clustering.redraws import permuted_basis, redrawn_distances

POLISH_ROUNDS = 1000
POLISH_TOLERANCE = 1e-9
ROUGH_TOLERANCE = 1e-4  # enough to tell starts apart
# A map is degenerate when it fits although its terms have run together in a few spots.
DEGENERATE_STRESS = 0.01
DEGENERATE_CROWDING = 0.05  # median distance to the nearest term over the root mean square distance
NEAR_BEST = 1.05  # starts within 5 % of the least stress draw a map that is as good
FEWEST_NEAR = 5


@dataclass(frozen=True)
class BestMap:
    """
    The best of many starts.

    Attributes
    ----------
    points : (n, dimensions) array of float
        In canonical pose, rounded.
    stress : float
        Stress-1 of these points.
    distances, disparities : (n_pairs,) array of float
        Rounded.
    all_stress : (starts,) array of float
        Of all starts, before the best one was polished.
    all_points : (starts, n, dimensions) array of float
    """

    points: np.ndarray
    stress: float
    distances: np.ndarray
    disparities: np.ndarray
    all_stress: np.ndarray
    all_points: np.ndarray


def best_map(D, kind, ties, starts, rounds, rng, dimensions=2):
    """
    Scale from principal coordinates and from random starts; polish the best.

    Parameters
    ----------
    D : (n, n) array of float
    kind, ties : str
        See `disparities.Targets`.
    starts : int
        The first is that of principal coordinates, the others are random.
    rounds : int
        For each start; the best one is then polished until it stands.
    rng : numpy.random.Generator
    dimensions : int

    Returns
    -------
    BestMap
    """
    wanted = upper(D)
    random = rng.normal(size=(starts - 1, len(D), dimensions))
    first = classical_scaling(D, dimensions)[0][None]
    rough = scale(wanted, np.concatenate([first, random]), kind, ties, rounds, ROUGH_TOLERANCE)
    best = int(np.argmin(rough.stress))
    fine = scale(wanted, rough.points[[best]], kind, ties, POLISH_ROUNDS, POLISH_TOLERANCE)
    points = canonical_pose(fine.points[0])
    distances = pair_distances(points)
    disparities = Targets(wanted, kind, ties).disparities(distances[None])[0]
    return BestMap(
        points,
        round(float(stress_1(distances, disparities)), DECIMALS),
        np.round(distances, DECIMALS),
        np.round(disparities, DECIMALS),
        rough.stress,
        rough.points,
    )


def is_degenerate(points, stress):
    """
    Say whether a map fits only because its terms have run together.

    Ordinal scaling can do this where dissimilarities fall into groups: all terms of a group in
    one spot give distances in perfect order, and say nothing within or between groups.

    Parameters
    ----------
    points : (n, dimensions) array of float
    stress : float

    Returns
    -------
    bool
    """
    apart = np.sqrt(((points[:, None] - points[None]) ** 2).sum(axis=-1))
    size = np.sqrt((upper(apart) ** 2).mean())
    np.fill_diagonal(apart, np.inf)
    crowding = np.median(apart.min(axis=1)) / size if size > 0 else 0.0
    return bool(stress < DEGENERATE_STRESS and crowding < DEGENERATE_CROWDING)


def saturated_share(D):
    """Return the share of pairs that nobody put together, 0 to 1."""
    return float(np.mean(upper(D) >= 1.0))


def angles_about_centre(points):
    """Return the direction of every term from the middle of the map, radians, rounded."""
    centred = points[..., :2] - points[..., :2].mean(axis=-2, keepdims=True)
    return np.round(np.arctan2(centred[..., 1], centred[..., 0]), DECIMALS)


@dataclass(frozen=True)
class RestartAgreement:
    """
    Whether other starts give the same directions.

    Attributes
    ----------
    near_best : int
        Starts within 5 % of the least stress (five at least), the best one left out.
    median, lowest : float
        Of the circular correlation (Fisher and Lee) between the best map and these, in the
        better reflection.
    median_all : float
        The same with all starts.
    """

    near_best: int
    median: float
    lowest: float
    median_all: float


def restart_agreement(found):
    """
    Compare the directions of the best map with those of other starts.

    Parameters
    ----------
    found : BestMap

    Returns
    -------
    RestartAgreement
    """
    order = np.argsort(found.all_stress, kind="stable")
    near = int((found.all_stress <= NEAR_BEST * found.all_stress.min()).sum())
    near = min(max(near, FEWEST_NEAR + 1), len(order))
    angles = angles_about_centre(found.all_points[order])
    alike = np.abs(fisher_lee(angles[0], angles[1:]))
    close = alike[: near - 1]
    return RestartAgreement(
        near - 1, float(np.median(close)), float(close.min()), float(np.median(alike))
    )


def dimension_curve(D, kind, ties, starts, rounds, rng, most):
    """
    Least stress-1 in 1 to `most` dimensions.

    Returns
    -------
    list of (int, float)
    """
    wanted, curve = upper(D), []
    for dimensions in range(1, most + 1):
        first = classical_scaling(D, dimensions)[0][None]
        random = rng.normal(size=(starts - 1, len(D), dimensions))
        found = scale(wanted, np.concatenate([first, random]), kind, ties, rounds, ROUGH_TOLERANCE)
        curve.append((dimensions, float(found.stress.min())))
    return curve


def null_stress(basis, kind, ties, starts, rounds, streams, replicates):
    """
    Stress-1 where terms are permuted within participants, so that no structure is left.

    Parameters
    ----------
    basis : felloe.clustering.redraws.Basis
    kind, ties : str
    starts : int
        For each permuted data set, as for the best map: principal coordinates, then random.
    rounds : int
    streams : Streams
    replicates : int

    Returns
    -------
    (replicates,) array of float
    """
    size, wanted, begun = basis.n_terms, [], []
    for number in range(replicates):
        rng = streams.generator("map-null", number)
        wanted.append(permuted_basis(basis, rng).observed)
        D = np.zeros((size, size))
        D[np.triu_indices(size, 1)] = wanted[-1]
        begun.append(classical_scaling(D + D.T)[0])
        begun.extend(rng.normal(size=(starts - 1, size, 2)))
    pairs = np.repeat(wanted, starts, axis=0)
    found = scale(pairs, np.array(begun), kind, ties, rounds, ROUGH_TOLERANCE)
    return found.stress.reshape(replicates, starts).min(axis=1)


def redrawn_ellipses(basis, points, kind, ties, rounds, streams, replicates, level):
    """
    Ellipses of the maps of redrawn participants, each laid over the map.

    Parameters
    ----------
    basis : felloe.clustering.redraws.Basis
    points : (n, 2) array of float
        The map, from which every redrawn one starts.
    kind, ties : str
    rounds : int
    streams : Streams
    replicates : int
    level : float

    Returns
    -------
    Ellipses

    References
    ----------
    Jacoby & Armstrong (2014), American Journal of Political Science 58:264-278 (from memory).
    """
    wanted = redrawn_distances(basis, streams, replicates)
    begun = np.broadcast_to(points, (replicates, *points.shape))
    redrawn = scale(wanted, begun, kind, ties, rounds, ROUGH_TOLERANCE)
    return ellipses(align(redrawn.points, points), level)
