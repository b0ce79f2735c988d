"""Maps of terms: distances on paper that follow the dissimilarities, by majorisation."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from felloe.circle.map.disparities import Model, Targets
from felloe.circle.map.pair_sample import PairSample
from felloe.ground.arrays import Array, Floats, Ints
from felloe.ground.rounding import PRODUCT_DECIMALS
from felloe.ground.squares import doubly_centred, upper

MOVES = 3  # of the points for each regression, which costs more than they do
PLAIN_ROUNDS = 2  # a long move can throw a random start back
FEWEST_ROUNDS = 7  # random starts move little at first, which is not an end


@dataclass(frozen=True)
class Scaling:
    """
    Several maps of the same terms, one per start.

    Attributes
    ----------
    points : (starts, n, dimensions) array of float
        Not turned or rounded; in the unit of the dissimilarities.
    stress : (starts,) array of float
        Stress-1, rounded.
    rounds : (starts,) array of int
        Taken by each.
    """

    points: Floats
    stress: Floats
    rounds: Ints


def pair_distances(points: Array) -> Floats:
    """
    Euclidean distances of every pair, row by row of the upper triangle.

    Parameters
    ----------
    points : (..., n, dimensions) array of float

    Returns
    -------
    (..., n * (n - 1) / 2) array of float
    """
    i, j = upper(points.shape[-2])
    apart: Floats = np.sqrt(((points[..., i, :] - points[..., j, :]) ** 2).sum(axis=-1))
    return apart


def stress_1(distances: Array, disparities: Array) -> Floats:
    """
    Kruskal's stress-1, `sqrt(sum (d - dhat)^2 / sum d^2)`.

    Parameters
    ----------
    distances, disparities : (..., n_pairs) array of float

    Returns
    -------
    (...) array of float
        0 for a perfect map; 0 too where all points coincide.

    References
    ----------
    Kruskal (1964), Psychometrika 29:1-27.
    """
    size = (distances**2).sum(axis=-1)
    residual = ((distances - disparities) ** 2).sum(axis=-1)
    share = np.divide(residual, size, out=np.zeros_like(size), where=size > 0)
    return np.asarray(np.sqrt(share))


@dataclass(frozen=True)
class Joined:
    """
    The pairs that maps are fitted to.

    Attributes
    ----------
    pairs : (n_pairs, n) sparse array
        Takes points to differences of pairs.
    back : (n, n_pairs) sparse array
        The same turned.
    inverse : (n, n) array of float or None
        Of what all pairs would make a division by n; None if they are all pairs.
    """

    pairs: Any
    back: Any
    inverse: Floats | None = None

    @property
    def n_terms(self) -> int:
        """Number of points."""
        return int(self.back.shape[0])


def joined(n: int, sample: PairSample | None = None) -> Joined:
    """Return the pairs of `n` points, all or those of a sample."""
    from scipy.sparse import csr_array

    i, j = upper(n)
    if sample is not None:
        i, j = i[sample.places], j[sample.places]
    columns = np.stack([i, j], axis=1).ravel()
    signs = np.tile([1.0, -1.0], len(i))
    pairs = csr_array((signs, columns, np.arange(0, 2 * len(i) + 1, 2)), shape=(len(i), n))
    back = pairs.T.tocsr()
    if sample is None:
        return Joined(pairs, back)
    # centred points: the mean of all, which no pair sees, is put in and taken out again
    inverse = np.linalg.inv((back @ pairs).toarray() + 1.0 / n) - 1.0 / n
    return Joined(pairs, back, inverse)


def scale(
    dissimilarities: Array,
    starts: Floats,
    model: Model,
    rounds: int = 100,
    tolerance: float = 1e-6,
    sample: PairSample | None = None,
) -> Scaling:
    """
    Improve many starting maps at once by majorisation (SMACOF), equal weights.

    A round is one regression and `MOVES` moves of the points towards its values; after
    `PLAIN_ROUNDS` rounds moves are twice as long, which about halves their number.

    Parameters
    ----------
    dissimilarities : (n_pairs,) or (maps, n_pairs) array of float
        Upper triangle, row by row; one for all maps or one for each.
    starts : (maps, n, dimensions) array of float
    model : Model
    rounds : int
        At the most.
    tolerance : float
        A map is done when its stress-1 changes by less than this share in one round.
    sample : PairSample, optional
        Maps are fitted to these pairs alone, and so is their stress; `dissimilarities` are theirs.

    Returns
    -------
    Scaling

    References
    ----------
    De Leeuw (1977), Applications of convex analysis to multidimensional scaling. De Leeuw &
    Heiser (1980), Multidimensional scaling with restrictions on the configuration, for the
    longer step. Borg & Groenen (2005), Modern Multidimensional Scaling, chapters 8 and 9; with
    pairs left out, section 8.6 (all three from memory).
    """
    targets = Targets.of(dissimilarities, model)
    pairs = joined(starts.shape[1], sample)
    points = starts - starts.mean(axis=1, keepdims=True)
    points = points * _factor(points, targets, pairs)[:, None, None]
    stress, taken = np.full(len(points), np.inf), np.zeros(len(points), dtype=int)
    active = np.arange(len(points))
    for number in range(rounds):
        long = number >= PLAIN_ROUNDS
        moved, reached = _round(points[active], targets.rows(active), pairs, long)
        settled = np.abs(stress[active] - reached) <= tolerance * reached
        done = settled & (number >= FEWEST_ROUNDS)
        stress[active] = reached
        going = active[~done]
        points[going] = moved[~done]
        taken[going] += 1
        active = going
        if not len(active):
            break
    return _finished(points, targets, pairs, taken)


def _differences(points: Floats, joined: Joined) -> tuple[Floats, Floats]:
    """Differences and distances of every pair of every map."""
    maps, n, dimensions = points.shape
    flat = np.ascontiguousarray(points.transpose(1, 0, 2)).reshape(n, -1)
    apart = (joined.pairs @ flat).reshape(joined.pairs.shape[0], maps, dimensions)
    return apart, np.sqrt(np.einsum("pmd,pmd->pm", apart, apart))


def _guttman(apart: Floats, distances: Floats, wanted: Floats, joined: Joined) -> Floats:
    """Guttman transform of every map towards the wanted distances."""
    n_pairs, maps, dimensions = apart.shape
    ratio = np.divide(wanted, distances, out=np.zeros_like(distances), where=distances > 1e-12)
    flat = joined.back @ (apart * ratio[:, :, None]).reshape(n_pairs, -1)
    if joined.inverse is not None:
        flat = joined.inverse @ flat
    moved: Floats = flat.reshape(joined.n_terms, maps, dimensions).transpose(1, 0, 2)
    return moved / joined.n_terms if joined.inverse is None else moved


def _round(points: Floats, targets: Targets, pairs: Joined, long: bool) -> tuple[Floats, Floats]:
    """One regression and some moves of every map; also the stress-1 of the maps before."""
    apart, distances = _differences(points, pairs)
    fitted = targets.disparities(np.ascontiguousarray(distances.T))
    reached = stress_1(distances.T, fitted)
    size = (fitted**2).sum(axis=1)
    factor = np.sqrt(np.divide(targets.size, size, out=np.ones(len(size)), where=size > 0))
    wanted = (fitted * factor[:, None]).T
    for move in range(MOVES):
        if move:
            apart, distances = _differences(points, pairs)
        better = _guttman(apart, distances, wanted, pairs)
        points = 2.0 * better - points if long else better
    return points, reached


def _factor(points: Floats, targets: Targets, pairs: Joined) -> Floats:
    """What brings every map to the size of its dissimilarities; 0 for a single spot."""
    _, distances = _differences(points, pairs)
    size = (distances**2).sum(axis=0)
    share = np.divide(targets.size, size, out=np.zeros(len(size)), where=size > 0)
    return np.asarray(np.sqrt(share))


def _finished(points: Floats, targets: Targets, pairs: Joined, taken: Ints) -> Scaling:
    """Bring maps to the size of the dissimilarities and measure them."""
    points = points * _factor(points, targets, pairs)[:, None, None]
    distances = np.ascontiguousarray(_differences(points, pairs)[1].T)
    stress = stress_1(distances, targets.disparities(distances))
    return Scaling(points, np.round(stress, PRODUCT_DECIMALS), taken)


def classical_scaling(D: Array, dimensions: int = 2) -> tuple[Floats, Floats]:
    """
    Principal coordinates of a matrix of distances.

    Parameters
    ----------
    D : (n, n) array of float
    dimensions : int

    Returns
    -------
    points : (n, dimensions) array of float
        Axes of no positive eigenvalue are 0; the largest coordinate of an axis is positive.
    eigenvalues : (n,) array of float
        In falling order.

    References
    ----------
    Torgerson (1952), Psychometrika 17:401-419. Gower (1966), Biometrika 53:325-338.
    """
    values, vectors = np.linalg.eigh(doubly_centred(np.asarray(D, dtype=float) ** 2))
    values, vectors = values[::-1], vectors[:, ::-1]
    kept = np.sqrt(np.maximum(values[:dimensions], 0.0))
    points = vectors[:, :dimensions] * kept
    return points * _signs(points), values


def _signs(points: Floats) -> Floats:
    """Return the signs that make the largest coordinate of every axis positive."""
    largest = np.abs(np.round(points, PRODUCT_DECIMALS)).argmax(axis=0)
    return np.where(points[largest, np.arange(points.shape[1])] < 0, -1.0, 1.0)


def canonical_pose(points: Floats) -> Floats:
    """
    Turn a map to its principal axes and fix its reflection.

    A map means the same turned or mirrored; this makes it one.

    Parameters
    ----------
    points : (n, dimensions) array of float

    Returns
    -------
    (n, dimensions) array of float
        Centred, the widest axis first, the largest coordinate of every axis positive, rounded
        to `PRODUCT_DECIMALS`.
    """
    centred = points - points.mean(axis=0)
    _, vectors = np.linalg.eigh(centred.T @ centred)
    turned = centred @ vectors[:, ::-1]
    posed: Floats = np.round(turned * _signs(turned), PRODUCT_DECIMALS) + 0.0
    return posed


def stress_per_point(points: Floats, disparities: Floats) -> Floats:
    """
    Share of the squared misfit that each term takes part in.

    Parameters
    ----------
    points : (n, dimensions) array of float
    disparities : (n_pairs,) array of float

    Returns
    -------
    (n,) array of float
        Percent; they add up to 100. 0 for a perfect map.
    """
    misfit = (pair_distances(points) - disparities) ** 2
    i, j = upper(len(points))
    shares = np.bincount(i, misfit, len(points)) + np.bincount(j, misfit, len(points))
    total = shares.sum()
    return np.asarray(np.round(100.0 * shares / total, PRODUCT_DECIMALS) if total > 0 else shares)
