"""A random sample of pairs of terms, to which maps are fitted where all pairs take too long."""

from dataclasses import dataclass

import numpy as np

from felloe.ground.arrays import Floats, Ints
from felloe.ground.randomness import Streams

PURPOSE = "map-pairs"


@dataclass(frozen=True)
class PairSample:
    """
    Some of the pairs of some terms.

    Attributes
    ----------
    n_terms : int
    places : (m,) array of int
        Of the pairs in the upper triangle, row by row; rising.
    """

    n_terms: int
    places: Ints

    @property
    def n_pairs(self) -> int:
        """Number of all pairs."""
        return self.n_terms * (self.n_terms - 1) // 2


def pair_sample(n_terms: int, most: int, streams: Streams) -> PairSample | None:
    """
    Draw pairs of terms, each set of them as likely as any other.

    Parameters
    ----------
    n_terms, most : int
        Pairs that are drawn.
    streams : Streams

    Returns
    -------
    PairSample or None
        None where there are no more pairs than that: then all are taken.
    """
    n_pairs = n_terms * (n_terms - 1) // 2
    if n_pairs <= most:
        return None
    drawn = streams.generator(PURPOSE).choice(n_pairs, most, replace=False)
    return PairSample(n_terms, np.sort(drawn))


def stress_error(distances: Floats, disparities: Floats, n_pairs: int) -> float:
    """
    Standard error of a map's stress-1 that is known from a sample of its pairs.

    Squared, stress-1 is a ratio of two means over pairs. That its disparities were fitted to the
    same sample is not in the error; it makes the stress somewhat too small.

    Parameters
    ----------
    distances, disparities : (m,) array of float
        Of the sampled pairs.
    n_pairs : int
        Pairs that they were drawn from, without replacement.

    Returns
    -------
    float
        0 where all pairs were drawn, or the map is perfect.

    References
    ----------
    Cochran (1977), Sampling Techniques, chapter 6, the ratio estimate (from memory).
    """
    size, misfit = distances**2, (distances - disparities) ** 2
    if len(size) >= n_pairs or misfit.sum() == 0.0:
        return 0.0
    ratio = misfit.sum() / size.sum()
    spread = float(np.var(misfit - ratio * size, ddof=1))
    of_ratio = np.sqrt((1.0 - len(size) / n_pairs) * spread / len(size)) / size.mean()
    return float(of_ratio / (2.0 * np.sqrt(ratio)))
