"""Trees of redrawn participants, many at a time."""

from dataclasses import dataclass

import numpy as np

from felloe.numerics.cooccurrence import DECIMALS, UNPLACED, chart_dissimilarity
from felloe.numerics.linkage import check_method, condensed

PURPOSE = "bootstrap"
NULL_PURPOSE = "permuted-terms"
BATCH = 50  # replicates in memory at a time; results do not depend on it
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
    """

    piles: np.ndarray
    strata: tuple
    weights: str
    observed: np.ndarray

    @property
    def n_terms(self):
        """Number of terms."""
        return self.piles.shape[1]


def make_basis(piles, populations, source="pooled", weights="plain"):
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

    Returns
    -------
    Basis
    """
    piles, populations = np.asarray(piles), np.asarray(populations)
    observed = condensed(chart_dissimilarity(piles, populations, source, weights))
    if source != "pooled":
        keep = populations == source
        piles, populations, weights = piles[keep], populations[keep], "plain"
    strata = tuple(np.flatnonzero(populations == name) for name in np.unique(populations))
    return Basis(piles, strata, weights, observed)


def permute_terms(piles, rng):
    """
    Deal each participant's piles to the terms at random, sizes kept.

    Parameters
    ----------
    piles : (n, N) array of int
    rng : numpy.random.Generator

    Returns
    -------
    (n, N) array of int
        What the same participants would give if no two terms had anything in common.
    """
    return rng.permuted(piles, axis=1)


def permuted_basis(basis, rng):
    """Return the basis with terms permuted within participants (see `permute_terms`)."""
    piles = permute_terms(basis.piles, rng)
    populations = np.empty(len(piles), dtype=int)
    for number, rows in enumerate(basis.strata):
        populations[rows] = number
    return make_basis(piles, populations, "pooled", basis.weights)


def draw(basis, streams, replicate, purpose=PURPOSE, size=1.0):
    """
    Draw participants within populations, and a random order of the terms.

    Parameters
    ----------
    basis : Basis
    streams : Streams
    replicate : int
    purpose : str
    size : float
        Participants drawn over participants there are, for the multiscale bootstrap.

    Returns
    -------
    counts : (n,) array of int
        How often each participant was drawn; for `size` 1 the same draw as
        `stratified_draw(streams.generator(purpose, replicate), populations)`.
    order : (N,) array of int
        Ties are broken by this order, so that no tie-break poses as support.
    """
    rng = streams.generator(purpose, replicate)
    drawn = [
        rows[rng.integers(len(rows), size=max(1, round(len(rows) * size)))] for rows in basis.strata
    ]
    counts = np.bincount(np.concatenate(drawn), minlength=len(basis.piles))
    return counts, rng.permutation(basis.n_terms)


class PairCounter:
    """
    Counts, for many redraws at once, in how many drawn participants each pair is marked.

    Several counts share one double: 6 bytes, or 3 pairs of bytes for more than 255
    participants, lie below the 53 bits that are exact. One matrix product then counts 6 pairs
    for the price of one, and its bytes are the counts.
    """

    def __init__(self, marked, largest):
        """Pack `marked`, (n, n_pairs) of bool; `largest` is the most participants of a draw."""
        self.type, self.per_double = (np.uint8, 6) if largest < 2**8 else (np.uint16, 3)
        base = float(2 ** (8 * np.dtype(self.type).itemsize))
        n, n_pairs = marked.shape
        padded = np.zeros((n, -(-n_pairs // self.per_double) * self.per_double))
        padded[:, :n_pairs] = marked
        powers = base ** np.arange(self.per_double)
        self.packed = padded.reshape(n, -1, self.per_double) @ powers
        slots = 8 // np.dtype(self.type).itemsize
        pair = np.arange(n_pairs)
        self.position = pair // self.per_double * slots + pair % self.per_double
        self.n_slots = self.packed.shape[1] * slots

    def __call__(self, counts):
        """Return counts in machine layout, (R, n_slots); pair p lies at `position[p]`."""
        product = np.asarray(counts, dtype=float) @ self.packed
        return product.astype("<u8").view(np.dtype(self.type).newbyteorder("<"))


class DrawDistances:
    """
    Distances of redrawn participants, for many redraws at once.

    Attributes
    ----------
    position : (n_pairs,) array of int
        Where the distance of each pair lies in a row of what a call returns.
    """

    def __init__(self, basis, largest):
        """Prepare the sorts of `basis` for draws of at most `largest` participants."""
        i, j = np.triu_indices(basis.n_terms, 1)
        placed = basis.piles != UNPLACED
        both = placed[:, i] & placed[:, j]
        together = (basis.piles[:, i] == basis.piles[:, j]) & both
        strata = basis.strata if basis.weights == "equal" else (np.arange(len(both)),)
        self.strata = [Stratum(rows, together[rows], both[rows], largest) for rows in strata]
        self.position = self.strata[0].counter.position
        # one number of people for all pairs: few distances are possible, and looked up
        self.simple = len(self.strata) == 1 and self.strata[0].complete
        self.observed = np.zeros(self.strata[0].counter.n_slots)
        self.observed[self.position] = basis.observed

    def distances(self, counts):
        """
        Return a function that gives the distances of each draw at given positions.

        Parameters
        ----------
        counts : (R, n) array of int

        Returns
        -------
        callable
            Takes the number of a draw and positions, gives their distances.
        """
        if self.simple:
            apart = self.strata[0].counter(counts)
            drawn = int(counts[0].sum())
            table = np.round(1.0 - np.arange(drawn + 1) / drawn, DECIMALS)
            return lambda row, places: table.take(apart[row].take(places))
        measured = self(counts)
        return lambda row, places: measured[row].take(places)

    def __call__(self, counts):
        """
        Measure all pairs.

        Parameters
        ----------
        counts : (R, n) array of int
            How often each participant was drawn.

        Returns
        -------
        (R, n_slots) array of float
            As `chart_dissimilarity` of the drawn participants.
        """
        apart = self.strata[0].shares(counts[:, self.strata[0].rows])
        for stratum in self.strata[1:]:
            apart += stratum.shares(counts[:, stratum.rows])
        apart /= -len(self.strata)
        apart += 1.0
        np.round(apart, DECIMALS, out=apart)
        missing = np.isnan(apart)
        if missing.any():
            apart[missing] = np.broadcast_to(self.observed, apart.shape)[missing]
        return apart


class Stratum:
    """The pairs of participants whose counts are divided by one number of people."""

    def __init__(self, rows, together, both, largest):
        """Prepare (n, n_pairs) of bool: who put, and who placed, which pair."""
        self.rows = rows
        self.counter = PairCounter(together, largest)
        patchy = np.flatnonzero(~both.all(axis=0))
        self.complete = len(patchy) == 0
        self.patchy = self.counter.position[patchy]
        self.placed = both[:, patchy].astype("f4")  # single precision counts these exactly
        self.together = together[:, patchy].astype("f4")

    def shares(self, counts):
        """Return the share of drawn participants who put pairs together; nan if none placed."""
        similar = self.counter(counts).astype(float)
        similar /= counts[0].sum()
        if not self.complete:
            weights = counts.astype("f4")
            marked, placed = weights @ self.together, weights @ self.placed
            empty = np.full(marked.shape, np.nan)
            similar[:, self.patchy] = np.divide(
                marked, placed, out=empty, where=placed > 0, dtype=float
            )
        return similar


def tree_builder(method, n_terms):
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

    def build(distances):
        return linkage(distances, method)

    try:
        from scipy.cluster._hierarchy import nn_chain

        code = CHAIN_CODES[method]
        trial = np.arange(n_terms * (n_terms - 1) // 2, dtype=float) * 7919 % 101 + 1.0
        if np.array_equal(nn_chain(trial.copy(), n_terms, code), build(trial)):
            return lambda distances: nn_chain(distances, n_terms, code)
    except Exception:
        return build
    return build


def redraw_trees(basis, method, streams, replicates, purpose=PURPOSE, size=1.0):
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
    largest = sum(max(1, round(len(rows) * size)) for rows in basis.strata)
    measure = DrawDistances(basis, largest)
    place = np.zeros((n_terms, n_terms), dtype=np.intp)
    i, j = np.triu_indices(n_terms, 1)
    place[i, j] = place[j, i] = measure.position
    place, build = place.ravel(), tree_builder(method, n_terms)
    names, per_row = np.arange(2 * n_terms - 1), np.arange(n_terms - 1, -1, -1)
    merges = np.empty((len(replicates), n_terms - 1, 2), dtype=np.uint16)
    for start in range(0, len(replicates), BATCH):
        batch = replicates[start : start + BATCH]
        drawn = [draw(basis, streams, replicate, purpose, size) for replicate in batch]
        look_up = measure.distances(np.array([counts for counts, _ in drawn]))
        for row, (_, order) in enumerate(drawn):
            names[:n_terms] = order
            places = np.repeat(order * n_terms, per_row) + order.take(j)
            distances = look_up(row, place.take(places))
            tree = build(np.sqrt(distances) if method == "ward" else distances)
            merges[start + row] = names.take(tree[:, :2].astype(np.intp))
    return merges
