"""What a map of terms is worth: restarts, a null, more dimensions, redrawn participants."""

from dataclasses import dataclass

import numpy as np

from felloe.circle.agreement import fisher_lee
from felloe.circle.map.disparities import METRIC, ORDINAL, Model, Targets
from felloe.circle.map.fitting import ROUGH_TOLERANCE, error_of, least_stress, sought
from felloe.circle.map.one_map import carried_on
from felloe.circle.map.pair_sample import PairSample, pair_sample
from felloe.circle.map.procrustes import Ellipses, align, ellipses
from felloe.circle.map.scaling import (
    canonical_pose,
    classical_scaling,
    pair_distances,
    scale,
    stress_1,
)
from felloe.circle.settings import (
    DEGENERATE_CROWDING,
    DEGENERATE_STRESS,
    FEWEST_NEAR,
    NEAR_BEST,
    MapSettings,
)
from felloe.clustering.replicates.redraws import (
    Basis,
    each_redrawn,
    permuted_basis,
    redrawn_distances,
)
from felloe.ground.arrays import Array, Floats
from felloe.ground.distances import Distances
from felloe.ground.randomness import Streams
from felloe.ground.rounding import PRODUCT_DECIMALS
from felloe.ground.squares import squared
from felloe.ground.terms import Terms

POLISH_ROUNDS = 1000
POLISH_TOLERANCE = 1e-9


@dataclass(frozen=True)
class Effort:
    """
    How much is done to find a good map.

    Attributes
    ----------
    starts : int
        The first is that of principal coordinates, the others are random.
    rounds : int
        For each start, at the most.
    sample : PairSample, optional
        Pairs to which starts are fitted; the best one is then carried on with all.
    """

    starts: int
    rounds: int
    sample: PairSample | None = None


@dataclass(frozen=True)
class BestMap:
    """
    The best of many starts.

    Attributes
    ----------
    terms : Terms
    model : Model
    points : (n, dimensions) array of float
        In canonical pose, rounded.
    stress : float
        Stress-1 of these points.
    wanted, distances, disparities : (n_pairs,) array of float
        Dissimilarities; distances on the map and what they should be, rounded.
    all_stress : (starts,) array of float
        Of all starts, before the best one was polished.
    all_points : (starts, n, dimensions) array of float
    sample_error : float, optional
        Standard error of the stress-1 of the best start, where starts were fitted to a sample.
    """

    terms: Terms
    model: Model
    points: Floats
    stress: float
    wanted: Floats
    distances: Floats
    disparities: Floats
    all_stress: Floats
    all_points: Floats
    sample_error: float | None = None


@dataclass(frozen=True)
class Standing:
    """
    A map that others are held against.

    Attributes
    ----------
    terms : Terms
    model : Model
    points : (n, dimensions) array of float
    """

    terms: Terms
    model: Model
    points: Floats


def best_map(
    apart: Distances, model: Model, effort: Effort, rng: np.random.Generator, dimensions: int = 2
) -> BestMap:
    """
    Scale from principal coordinates and from random starts; polish the best until it stands.

    Parameters
    ----------
    apart : Distances
    model : Model
    effort : Effort
    rng : numpy.random.Generator
    dimensions : int

    Returns
    -------
    BestMap
    """
    begun = starting_maps(apart.D, effort.starts, rng, dimensions)
    wanted, sample = apart.pairs, effort.sample
    rough = sought(wanted, begun, model, effort.rounds, sample)
    best = rough.points[int(np.argmin(rough.stress))]
    if sample is None:
        fine = scale(wanted, best[None], model, POLISH_ROUNDS, POLISH_TOLERANCE)
    else:
        fine = carried_on(wanted, best, model, POLISH_ROUNDS, POLISH_TOLERANCE)
    points = canonical_pose(fine.points[0])
    distances = pair_distances(points)
    disparities = Targets.of(wanted, model).disparities(distances[None])[0]
    return BestMap(
        terms=apart.terms,
        model=model,
        points=points,
        stress=round(float(stress_1(distances, disparities)), PRODUCT_DECIMALS),
        wanted=wanted,
        distances=np.round(distances, PRODUCT_DECIMALS),
        disparities=np.round(disparities, PRODUCT_DECIMALS),
        all_stress=rough.stress,
        all_points=rough.points,
        sample_error=error_of(wanted, best, model, sample) if sample else None,
    )


def starting_maps(D: Array, starts: int, rng: np.random.Generator, dimensions: int = 2) -> Floats:
    """Return principal coordinates and random maps, (starts, n, dimensions)."""
    random = rng.normal(size=(starts - 1, len(D), dimensions))
    return np.concatenate([classical_scaling(D, dimensions)[0][None], random])


def shown_map(
    apart: Distances, settings: MapSettings, streams: Streams
) -> tuple[BestMap, float | None]:
    """
    Return the map that is shown.

    Parameters
    ----------
    apart : Distances
    settings : MapSettings
    streams : Streams

    Returns
    -------
    found : BestMap
        Metric where the ordinal map that was asked for is degenerate.
    given_up : float or None
        Stress-1 of a map that was given up as degenerate.
    """
    sample = pair_sample(len(apart.terms), settings.most_pairs, streams)
    effort = Effort(settings.starts, settings.rounds, sample)
    asked = Model(settings.type, settings.ties)
    found = best_map(apart, asked, effort, streams.generator("map"))
    if asked.kind != ORDINAL or not is_degenerate(found.points, found.stress):
        return found, None
    metric = Model(METRIC, settings.ties)
    return best_map(apart, metric, effort, streams.generator("map")), found.stress


def is_degenerate(points: Floats, stress: float) -> bool:
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
    size = np.sqrt((pair_distances(points) ** 2).mean())
    np.fill_diagonal(apart, np.inf)
    crowding = np.median(apart.min(axis=1)) / size if size > 0 else 0.0
    return bool(stress < DEGENERATE_STRESS and crowding < DEGENERATE_CROWDING)


def saturated_share(apart: Distances) -> float:
    """Return the share of pairs at distance 1, which nobody put together, 0 to 1."""
    return float(np.mean(apart.pairs >= 1.0))


def angles_about_centre(points: Floats) -> Floats:
    """Return the direction of every term from the middle of the map, radians, rounded."""
    centred = points[..., :2] - points[..., :2].mean(axis=-2, keepdims=True)
    angles: Floats = np.round(np.arctan2(centred[..., 1], centred[..., 0]), PRODUCT_DECIMALS)
    return angles


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


def restart_agreement(found: BestMap) -> RestartAgreement:
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


def dimension_curve(
    apart: Distances, model: Model, effort: Effort, rng: np.random.Generator, most: int
) -> list[tuple[int, float]]:
    """
    Least stress-1 in 1 to `most` dimensions.

    Returns
    -------
    list of (int, float)
    """
    curve = []
    for dimensions in range(1, most + 1):
        begun = starting_maps(apart.D, effort.starts, rng, dimensions)
        found = sought(apart.pairs, begun, model, effort.rounds, effort.sample)
        least = least_stress(apart.pairs, found, model, effort.rounds, effort.sample)
        curve.append((dimensions, least))
    return curve


def null_stress(
    basis: Basis, model: Model, effort: Effort, streams: Streams, replicates: int
) -> Floats:
    """
    Stress-1 where terms are permuted within participants, so that no structure is left.

    Parameters
    ----------
    basis : felloe.clustering.replicates.redraws.Basis
    model : Model
    effort : Effort
        For each permuted data set, as for the best map.
    streams : Streams
    replicates : int

    Returns
    -------
    (replicates,) array of float
    """
    wanted, begun = [], []
    for number in range(replicates):
        rng = streams.generator("map-null", number)
        wanted.append(permuted_basis(basis, rng).observed)
        begun.append(starting_maps(squared(wanted[-1], basis.n_terms), effort.starts, rng))
    if effort.sample is not None:
        cases = zip(wanted, begun, strict=True)
        return np.array([_least_of(*case, model, effort) for case in cases])
    pairs = np.repeat(wanted, effort.starts, axis=0)
    found = scale(pairs, np.concatenate(begun), model, effort.rounds, ROUGH_TOLERANCE)
    least: Floats = found.stress.reshape(replicates, effort.starts).min(axis=1)
    return least


def _least_of(wanted: Floats, begun: Floats, model: Model, effort: Effort) -> float:
    """Return the least stress-1 of one data set from its starts."""
    found = sought(wanted, begun, model, effort.rounds, effort.sample)
    return least_stress(wanted, found, model, effort.rounds, effort.sample)


def redrawn_ellipses(
    basis: Basis, found: Standing, settings: MapSettings, streams: Streams
) -> Ellipses:
    """
    Ellipses of the maps of redrawn participants, each laid over the map.

    Parameters
    ----------
    basis : felloe.clustering.replicates.redraws.Basis
    found : Standing
        The map, from which every redrawn one starts.
    settings : MapSettings
    streams : Streams

    Returns
    -------
    Ellipses

    References
    ----------
    Jacoby & Armstrong (2014), American Journal of Political Science 58:264-278 (from memory).
    """
    replicates, points = settings.bootstrap, found.points
    if pair_sample(len(found.terms), settings.most_pairs, streams):
        # with all pairs, since a sample would move the points by its own error
        rounds = settings.bootstrap_rounds
        moved = [
            carried_on(wanted, points, found.model, rounds, ROUGH_TOLERANCE).points[0]
            for wanted in each_redrawn(basis, streams, replicates)
        ]
        return ellipses(align(np.array(moved), points), settings.ellipse_level)
    wanted = redrawn_distances(basis, streams, replicates)
    begun = np.broadcast_to(points, (replicates, *points.shape))
    redrawn = scale(wanted, begun, found.model, settings.bootstrap_rounds, ROUGH_TOLERANCE)
    return ellipses(align(redrawn.points, points), settings.ellipse_level)
