"""Whether the people of two editions could have been one group, on the common terms."""

from dataclasses import dataclass

import numpy as np

from felloe.comparison.correlating.corrected import CorrectedCorrelation, corrected_correlation
from felloe.comparison.exchanging.exchange import Draws, LabelTests, exchange_people
from felloe.comparison.exchanging.shape import ShapeTest, shape_test
from felloe.editions.settings import FEWEST_TERMS, Settings
from felloe.ground.arrays import Array, Bools
from felloe.ground.people.halves import Reliability, divided_correlations, split_half_reliability
from felloe.ground.people.pairs import (
    PairVectors,
    pair_vectors,
    person_covariances,
)
from felloe.ground.people.sorts import UNPLACED, Sorts
from felloe.ground.randomness import Streams


@dataclass(frozen=True)
class People:
    """
    Whether the people of two editions could have been one group.

    Attributes
    ----------
    tests : LabelTests
    shape : ShapeTest
        Whether single common terms are placed differently, beyond granularity and noise.
    older, newer : Reliability
    correlation : float
        Of the two matrices of the people compared, as it is.
    corrected : CorrectedCorrelation
        The correlation less the noise of both studies.
    halves : int
        Random divisions into halves behind the reliabilities.
    n_older, n_newer, n_left_out : int
        People compared, and those who placed too few of the common terms.
    """

    tests: LabelTests
    shape: ShapeTest
    older: Reliability
    newer: Reliability
    correlation: float
    corrected: CorrectedCorrelation
    halves: int
    n_older: int
    n_newer: int
    n_left_out: int


def sorters(piles: Array, partial: bool = False) -> Bools:
    """
    Return who placed enough of the common terms to be compared with anybody else.

    Whoever sorted the whole lexicon has to have placed more than half of the common terms; whoever
    was shown some of it, half of what such people placed of them in the mean, and four at least.
    """
    placed = (np.asarray(piles) != UNPLACED).sum(axis=1)
    if partial:
        return np.asarray(placed >= max(FEWEST_TERMS, placed.mean() / 2))
    return np.asarray(placed >= np.shape(piles)[1] / 2 + 1)  # any two then share two terms


def compare_people(older: Sorts, newer: Sorts, settings: Settings, streams: Streams) -> People:
    """
    Ask whether the people of two editions could have been one group.

    Parameters
    ----------
    older, newer : Sorts
        Of the same terms.
    settings : Settings
    streams : Streams

    Returns
    -------
    People
    """
    kept = [one.piles[sorters(one.piles, one.prior is not None)] for one in (older, newer)]
    prior = newer.prior if older.prior is None else older.prior
    counts = [len(piles) for piles in kept]
    is_older = np.arange(sum(counts)) < counts[0]
    piles = np.vstack(kept)
    vectors = pair_vectors(piles, prior)
    rng = streams.generator("editions shape")
    reliable = (
        reliability_of(vectors.of(is_older), "older", settings, streams),
        reliability_of(vectors.of(~is_older), "newer", settings, streams),
    )
    return People(
        tests=label_tests(piles, is_older, vectors, settings, streams),
        shape=shape_test(piles, is_older, rng, settings.shape_permutations, settings.level, prior),
        older=reliable[0],
        newer=reliable[1],
        correlation=float(divided_correlations(vectors, is_older[None])[0]),
        corrected=corrected_correlation(person_covariances(vectors), is_older),
        halves=settings.halves,
        n_older=counts[0],
        n_newer=counts[1],
        n_left_out=len(older.piles) + len(newer.piles) - sum(counts),
    )


def reliability_of(
    vectors: PairVectors, name: str, settings: Settings, streams: Streams
) -> Reliability:
    """Return how well halves of one edition's people, `older` or `newer`, repeat each other."""
    rng = streams.generator(f"editions {name}")
    return split_half_reliability(vectors, settings.halves, rng)


def label_tests(
    piles: Array, is_older: Bools, vectors: PairVectors, settings: Settings, streams: Streams
) -> LabelTests:
    """Return the dossier's tests, editions in place of populations."""
    draws = Draws(
        freely=streams.generator("editions labels"),
        in_bins=streams.generator("editions labels in bins"),
        in_sets=streams.generator("editions labels in sets"),
    )
    permutations, bins = settings.permutations, settings.granularity_bins
    return exchange_people(piles, is_older, vectors, draws, permutations, bins).tests
