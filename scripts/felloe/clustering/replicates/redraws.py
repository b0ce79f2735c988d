"""Trees and distances of redrawn participants, many at a time."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from felloe.clustering.replicates.draw_distances import DrawDistances
from felloe.ground.arrays import Array, Floats, Ints
from felloe.ground.groups.linkage import check_method, merge_scale
from felloe.ground.people.counts import count_observers, partial_shares
from felloe.ground.people.seen_pairs import joined_pairs, row_starts
from felloe.ground.people.sorts import POOLED, UNPLACED
from felloe.ground.randomness import Streams
from felloe.ground.rounding import DISTANCE_DECIMALS
from felloe.ground.squares import condensed, upper
from felloe.matrices.distances import chart_dissimilarity

PURPOSE = "bootstrap"
NULL_PURPOSE = "permuted-terms"
# replicates in memory at a time, and bytes of theirs; results do not depend on them
BATCH, BATCH_BYTES = 64, 2**28
# SciPy's numbers for the linkages that its nearest-neighbour chain builds
CHAIN_CODES = {"complete": 1, "average": 2, "ward": 5, "weighted": 6}


@dataclass(frozen=True)
class Basis:
    """
    The sorts that the chart is made from, ready to be redrawn.

    Attributes
    ----------
    piles : (n, N) array of int
        Participants of the chart's source only.
    strata : tuple of (n_stratum,) array of int
        Rows of each population, populations in sorted order.
    weights : {'plain', 'equal'}
    observed : (N * (N - 1) / 2,) array of float
        Distances of the whole sample, for pairs that no redrawn participant placed.
    prior : float, optional
        Of partial sorts; see `felloe.ground.people.counts.drawn_to_mean`. A pair that no redrawn
        participant placed then takes the mean of the redraw.
    both : tuple of (N * (N - 1) / 2,) array of float
        Of partial sorts, for each of `weighed` who placed both terms of every pair: dealing piles
        anew leaves it as it is.
    """

    piles: Array
    strata: tuple[Ints, ...]
    weights: str
    observed: Floats
    prior: float | None = None
    both: tuple[Floats, ...] = ()

    @property
    def n_terms(self) -> int:
        """Number of terms."""
        return int(self.piles.shape[1])

    @property
    def weighed(self) -> tuple[Ints, ...]:
        """Rows of the people whose shares are averaged: each population, or all of them at once."""
        return self.strata if self.weights == "equal" else (np.arange(len(self.piles)),)


def make_basis(
    piles: Array,
    populations: Sequence[str] | Array,
    source: str = POOLED,
    weights: str = "plain",
    prior: float | None = None,
) -> Basis:
    """
    Select the participants that the chart is made from.

    Parameters
    ----------
    piles : (n_participants, n_terms) array of int
    populations : sequence of str
    source : str
        'pooled', or one population: then only its participants are redrawn.
    weights : {'plain', 'equal'}
        'equal' averages the populations' similarities.
    prior : float, optional
        Of partial sorts.

    Returns
    -------
    Basis
    """
    piles, people = np.asarray(piles), np.asarray(populations)
    observed = condensed(chart_dissimilarity(piles, people.tolist(), source, weights, prior))
    if source != POOLED:
        keep = people == source
        piles, people, weights = piles[keep], people[keep], "plain"
    strata = tuple(np.flatnonzero(people == name) for name in np.unique(people))
    basis = Basis(piles, strata, weights, observed, prior)
    if prior is None:
        return basis
    seen = (count_observers(piles[rows] != UNPLACED) for rows in basis.weighed)
    return replace(basis, both=tuple(condensed(both).astype(float) for both in seen))


def permute_terms(piles: Array, rng: np.random.Generator, partial: bool = False) -> Array:
    """
    Deal each participant's piles to the terms at random, sizes kept.

    Of partial sorts they are dealt to the terms that the participant placed, so that who saw what
    stays as it is.

    Parameters
    ----------
    piles : (n, N) array of int
    rng : numpy.random.Generator
    partial : bool

    Returns
    -------
    (n, N) array of int
        What the same participants would give if no two terms had anything in common.
    """
    if not partial:
        return rng.permuted(piles, axis=1)
    dealt = np.array(piles)
    for row in dealt:
        placed = row != UNPLACED
        row[placed] = rng.permutation(row[placed])
    return dealt


def permuted_basis(basis: Basis, rng: np.random.Generator) -> Basis:
    """Return the basis with terms permuted within participants (see `permute_terms`)."""
    piles = permute_terms(basis.piles, rng, basis.prior is not None)
    if basis.both:
        return replace(basis, piles=piles, observed=observed_of_dealt(piles, basis))
    populations = np.empty(len(piles), dtype=object)
    for number, rows in enumerate(basis.strata):
        populations[rows] = f"{number:09d}"  # names in the order of the strata
    return make_basis(piles, populations.tolist(), POOLED, basis.weights, basis.prior)


def observed_of_dealt(piles: Array, basis: Basis) -> Floats:
    """Return the distances of partial sorts whose piles were dealt anew, from who placed what."""
    n_pairs, similar = len(basis.observed), np.zeros(len(basis.observed))
    for rows, both in zip(basis.weighed, basis.both, strict=True):
        together = np.bincount(joined_pairs(piles[rows])[0], minlength=n_pairs).astype(float)
        similar += partial_shares(together, both, float(basis.prior or 0.0))
    return np.asarray(np.round(1.0 - similar / len(basis.both), DISTANCE_DECIMALS))


def people_drawn(rows: Ints, size: float) -> int:
    """Return how many people of a population are drawn: whole ones, and one at least."""
    return max(1, round(len(rows) * size))


def most_drawn(basis: Basis, size: float = 1.0) -> int:
    """Return how many people a draw of one size has."""
    return sum(people_drawn(rows, size) for rows in basis.strata)


def scale_drawn(basis: Basis, size: float) -> float:
    """
    Return the scale of draws of one size.

    Parameters
    ----------
    basis : Basis
    size : float
        As for `draw`.

    Returns
    -------
    float
        Participants that are drawn, population by population, over those there are; off `size`
        by as much as whole people ask for.
    """
    return most_drawn(basis, size) / len(basis.piles)


def draw(
    basis: Basis, streams: Streams, replicate: int, purpose: str = PURPOSE, size: float = 1.0
) -> tuple[Ints, Ints]:
    """
    Draw participants within populations, and a random order of the terms.

    Parameters
    ----------
    basis : Basis
    streams : Streams
    replicate : int
    purpose : str
    size : float
        Participants asked for over participants there are, for the multiscale bootstrap.

    Returns
    -------
    counts : (n,) array of int
        How often each participant was drawn; for `size` 1 the same draw as
        `stratified_draw(streams.generator(purpose, replicate), populations)`.
    order : (N,) array of int
        Ties are broken by this order, so that no tie-break poses as support.
    """
    rng = streams.generator(purpose, replicate)
    drawn = [rows[rng.integers(len(rows), size=people_drawn(rows, size))] for rows in basis.strata]
    counts = np.bincount(np.concatenate(drawn), minlength=len(basis.piles))
    return counts, rng.permutation(basis.n_terms)


def tree_builder(method: str, n_terms: int) -> Callable[[Floats], Floats]:
    """
    Return the fastest function that builds a tree from condensed distances.

    SciPy's `linkage` checks and copies for as long as it works. Its inner loop is private, so
    it is used only where it exists and gives what the public function gives on a test matrix;
    anything else falls back to the public function.

    Parameters
    ----------
    method : str
    n_terms : int

    Returns
    -------
    callable
        (n_pairs,) array of float to (N - 1, 4) array of float.
    """
    from scipy.cluster.hierarchy import linkage

    def build(distances: Floats) -> Floats:
        return np.asarray(linkage(distances, method))

    try:
        from scipy.cluster._hierarchy import nn_chain

        code = CHAIN_CODES[method]
        trial = np.arange(n_terms * (n_terms - 1) // 2, dtype=float) * 7919 % 101 + 1.0
        if np.array_equal(nn_chain(trial.copy(), n_terms, code), build(trial)):
            return lambda distances: nn_chain(distances, n_terms, code)
    except Exception:
        return build
    return build


def pair_places(measure: DrawDistances, n_terms: int) -> Callable[[Ints], Ints]:
    """
    Return a function that says where the distance of each pair lies, terms in any order.

    Parameters
    ----------
    measure : DrawDistances
    n_terms : int

    Returns
    -------
    callable
        Takes the (N,) order of the terms, gives (n_pairs,) positions, row by row.
    """
    i, j = upper(n_terms)
    per_row = np.arange(n_terms - 1, -1, -1)
    if measure.partial:  # pairs lie in their own order: reckoned, a square of many would be slow
        starts = row_starts(n_terms)

        def reckoned(order: Ints) -> Ints:
            one, other = np.repeat(order, per_row), order.take(j)
            low = np.minimum(one, other)
            found: Ints = np.maximum(one, other, out=one) + starts.take(low)
            return found

        return reckoned
    square = np.zeros((n_terms, n_terms), dtype=np.intp)
    square[i, j] = square[j, i] = measure.position
    place = square.ravel()
    return lambda order: place.take(np.repeat(order * n_terms, per_row) + order.take(j))


def redraw_trees(
    basis: Basis,
    method: str,
    streams: Streams,
    replicates: Sequence[int],
    purpose: str = PURPOSE,
    size: float = 1.0,
    *,
    measure: DrawDistances | None = None,
) -> Array:
    """
    Build the trees of redrawn participants.

    Parameters
    ----------
    basis : Basis
    method : str
        As for `build_tree`.
    streams : Streams
    replicates : sequence of int
        Numbers of the replicates; each is the same whatever others are asked for.
    purpose : str
    size : float
        As for `draw`.
    measure : DrawDistances, optional
        Of the basis, where it has been made before.

    Returns
    -------
    (R, N - 1, 2) array of uint16
        The two nodes of every merge, lower merges first; terms in sorted order.

    References
    ----------
    Felsenstein (1985), Evolution 39:783-791, redrew characters; here people are redrawn.
    """
    check_method(method)
    n_terms = basis.n_terms
    measure = measure or DrawDistances(basis, most_drawn(basis, size))
    places_of, build = pair_places(measure, n_terms), tree_builder(method, n_terms)
    names = np.arange(2 * n_terms - 1)
    merges = np.empty((len(replicates), n_terms - 1, 2), dtype=np.uint16)
    at_once = min(BATCH, max(1, BATCH_BYTES // measure.bytes_of_draw))
    for start in range(0, len(replicates), at_once):
        batch = replicates[start : start + at_once]
        drawn = [draw(basis, streams, replicate, purpose, size) for replicate in batch]
        look_up = measure.distances(np.array([counts for counts, _ in drawn]))
        for row, (_, order) in enumerate(drawn):
            names[:n_terms] = order
            tree = build(merge_scale(look_up(row, places_of(order)), method))
            merges[start + row] = names.take(tree[:, :2].astype(np.intp))
    return merges


def each_redrawn(basis: Basis, streams: Streams, replicates: int) -> Iterator[Floats]:
    """Yield what `redrawn_distances` returns row by row, with few redraws in memory at a time."""
    measure = DrawDistances(basis, len(basis.piles))
    at_once = min(BATCH, max(1, BATCH_BYTES // measure.bytes_of_draw))
    for start in range(0, replicates, at_once):
        batch = range(start, min(start + at_once, replicates))
        counts = np.array([draw(basis, streams, number, PURPOSE)[0] for number in batch])
        for measured in measure(counts):
            yield measured[measure.position]


def redrawn_distances(basis: Basis, streams: Streams, replicates: int) -> Floats:
    """
    Measure the first redraws of the bootstrap.

    Parameters
    ----------
    basis : Basis
    streams : Streams
    replicates : int

    Returns
    -------
    (replicates, n_pairs) array of float
        Upper triangle of the distances of each redraw, row by row.
    """
    counts = np.array([draw(basis, streams, number, PURPOSE)[0] for number in range(replicates)])
    measure = DrawDistances(basis, len(basis.piles))
    return np.asarray(measure(counts)[:, measure.position])
