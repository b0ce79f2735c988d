"""Maps of all pairs, or, where these are many, first of a sample of them and then of all."""

import numpy as np

from felloe.circle.map.disparities import Model, Targets
from felloe.circle.map.one_map import carried_on
from felloe.circle.map.pair_sample import PairSample, stress_error
from felloe.circle.map.scaling import Scaling, pair_distances, scale
from felloe.ground.arrays import Array, Floats

ROUGH_TOLERANCE = 1e-4  # enough to tell starts apart


def sought(
    wanted: Array, begun: Floats, model: Model, rounds: int, sample: PairSample | None
) -> Scaling:
    """
    Improve many starting maps until it is seen which is best.

    Parameters
    ----------
    wanted : (n_pairs,) or (maps, n_pairs) array of float
        Dissimilarities of all pairs.
    begun : (maps, n, dimensions) array of float
    model : Model
    rounds : int
        At the most.
    sample : PairSample or None
        The pairs that they are fitted to; None for all.

    Returns
    -------
    Scaling
        Its stress-1 is that of these pairs.
    """
    if sample is None:
        return scale(wanted, begun, model, rounds, ROUGH_TOLERANCE)
    chosen = np.asarray(wanted)[..., sample.places]
    return scale(chosen, begun, model, rounds, ROUGH_TOLERANCE, sample)


def least_stress(
    wanted: Array, found: Scaling, model: Model, rounds: int, sample: PairSample | None
) -> float:
    """
    Return the least stress-1 of maps of the same dissimilarities, of all pairs.

    Parameters
    ----------
    wanted : (n_pairs,) array of float
    found : Scaling
        As `sought` gives it.
    model : Model
    rounds : int
        In which the best one is improved with all pairs, if it was found with a sample.
    sample : PairSample or None

    Returns
    -------
    float
    """
    if sample is None:
        return float(found.stress.min())
    best = found.points[int(np.argmin(found.stress))]
    return float(carried_on(wanted, best, model, rounds, ROUGH_TOLERANCE).stress[0])


def error_of(wanted: Array, points: Floats, model: Model, sample: PairSample) -> float:
    """Return the standard error of the stress-1 of a map, (n, dimensions), from a sample."""
    distances = pair_distances(points)[sample.places]
    disparities = Targets.of(wanted[sample.places], model).disparities(distances[None])[0]
    return stress_error(distances, disparities, sample.n_pairs)
