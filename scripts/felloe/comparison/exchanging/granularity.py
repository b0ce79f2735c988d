"""How far two populations differ, and overlap, in how finely they sort."""

from dataclasses import dataclass

import numpy as np

from felloe.ground.arrays import Bools, Floats, Ints


@dataclass(frozen=True)
class GranularityDifference:
    """
    Attributes
    ----------
    u : float
        Mann-Whitney U of the first population's numbers of piles.
    p_value : float
        Two-sided, with correction for ties; 1 where all numbers are equal.
    cliffs_delta : float
        Share of pairs of people (one of each population) in which the first makes more piles,
        less the share in which the second does; -1 to 1.
    overlap : float
        Sum over bins of granularity of the smaller of the two populations' shares of people;
        0 (no bin holds both) to 1 (the same distribution).
    people_in_mixed_bins : int
        People who share a bin with somebody of the other population; only they can change
        places in the adjusted test.
    """

    u: float
    p_value: float
    cliffs_delta: float
    overlap: float
    people_in_mixed_bins: int


def compare_granularity(n_piles: Floats | Ints, first: Bools, bins: Ints) -> GranularityDifference:
    """
    Compare how finely two populations sort.

    Parameters
    ----------
    n_piles : (n_people,) array of number
    first : (n_people,) array of bool
        Who belongs to the first population.
    bins : (n_people,) array of int
        As returned by `label_tests.granularity_bins`.

    Returns
    -------
    GranularityDifference

    References
    ----------
    Mann & Whitney (1947), Annals of Mathematical Statistics 18:50-60; Cliff (1993),
    Psychological Bulletin 114:494-509 (both from memory).
    """
    from scipy.stats import mannwhitneyu

    a, b = n_piles[first], n_piles[~first]
    if np.ptp(n_piles) == 0:
        u, p_value = len(a) * len(b) / 2.0, 1.0
    else:
        u, p_value = mannwhitneyu(a, b, alternative="two-sided", method="asymptotic")
    numbers = bins.max() + 1
    in_a = np.bincount(bins[first], minlength=numbers)
    in_b = np.bincount(bins[~first], minlength=numbers)
    mixed = (in_a > 0) & (in_b > 0)
    return GranularityDifference(
        float(u),
        float(p_value),
        float(2.0 * u / (len(a) * len(b)) - 1.0),
        float(np.minimum(in_a / len(a), in_b / len(b)).sum()),
        int((in_a + in_b)[mixed].sum()),
    )
