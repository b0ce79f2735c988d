"""One map of many terms improved with all of their pairs, as `scaling.scale` does, but faster."""

import numpy as np

from felloe.circle.map.disparities import ORDINAL, PRIMARY, Model, Targets
from felloe.circle.map.scaling import FEWEST_ROUNDS, MOVES, PLAIN_ROUNDS, Scaling, stress_1
from felloe.ground.arrays import Array, Floats
from felloe.ground.rounding import PRODUCT_DECIMALS


class Regression:
    """
    Disparities of one map, round after round.

    Untied values are sorted anew each round; from the order of the round before that takes less
    than half of the time.

    Parameters
    ----------
    targets : Targets
        Of one map.
    """

    def __init__(self, targets: Targets) -> None:
        self.targets, self.block = targets, targets.block[0]
        self.order = np.argsort(self.block, kind="stable")

    def __call__(self, distances: Floats) -> Floats:
        """Return the best-fitting targets of distances, (n_pairs,)."""
        model = self.targets.model
        if model.kind != ORDINAL or model.ties != PRIMARY:
            return np.asarray(self.targets.disparities(distances[None])[0])
        from scipy.optimize import isotonic_regression

        # any spread above the largest distance keeps the blocks in order
        key = (self.block * (1.0 + distances.max()) + distances)[self.order]
        self.order = self.order[np.argsort(key, kind="stable")]
        fitted = np.empty_like(distances)
        fitted[self.order] = isotonic_regression(distances[self.order]).x
        return fitted


def carried_on(
    dissimilarities: Array, begun: Floats, model: Model, rounds: int, tolerance: float
) -> Scaling:
    """
    Improve one map by the rounds of `scaling.scale`.

    Parameters
    ----------
    dissimilarities : (n_pairs,) array of float
        Upper triangle, row by row.
    begun : (n, dimensions) array of float
    model : Model
    rounds, tolerance
        As for `scale`.

    Returns
    -------
    Scaling
        Of one map, up to rounding errors that of `scale`.
    """
    from scipy.spatial.distance import pdist

    targets = Targets.of(dissimilarities, model)
    regression, size = Regression(targets), float(targets.size[0])
    points = begun - begun.mean(axis=0)
    points = points * _factor(pdist(points), size)
    stress, taken = np.inf, 0
    for number in range(rounds):
        distances = pdist(points)
        fitted = regression(distances)
        reached = float(stress_1(distances, fitted))
        if abs(stress - reached) <= tolerance * reached and number >= FEWEST_ROUNDS:
            break
        stress, taken = reached, taken + 1
        wanted = fitted * _factor(fitted, size)
        for _ in range(MOVES):
            better = _guttman(points, wanted)
            points = 2.0 * better - points if number >= PLAIN_ROUNDS else better
    points = points * _factor(pdist(points), size)
    distances = pdist(points)
    found = np.round(stress_1(distances, regression(distances)), PRODUCT_DECIMALS)
    return Scaling(points[None], np.array([found]), np.array([taken]))


def _factor(values: Floats, size: float) -> float:
    """Return what brings values to a sum of squares; 1 where all are 0."""
    own = float(values @ values)
    return (size / own) ** 0.5 if own > 0 else 1.0


def _guttman(points: Floats, wanted: Floats) -> Floats:
    """Guttman transform of a map towards the wanted distances of all pairs."""
    from scipy.spatial.distance import pdist, squareform

    distances = pdist(points)
    ratio = np.divide(wanted, distances, out=np.zeros_like(wanted), where=distances > 1e-12)
    square = squareform(ratio, checks=False)
    moved: Floats = (square.sum(axis=1)[:, None] * points - square @ points) / len(points)
    return moved
