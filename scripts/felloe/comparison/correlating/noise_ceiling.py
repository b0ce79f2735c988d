"""How high can the correlation of two populations be, given how few people there are?"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from felloe.comparison.correlating.corrected import CorrectedCorrelation
from felloe.ground.arrays import Bools, Floats
from felloe.ground.people.counted_pairs import AnyPairs
from felloe.ground.people.halves import Reliability, split_half_reliability


@dataclass(frozen=True)
class NoiseCeiling:
    """
    How far two populations agree, and how far they could.

    Attributes
    ----------
    reliabilities : (Reliability, Reliability)
        Of the first and of the second population.
    correlation : float
        Between the two matrices as they are.
    split_correlations : (n_splits,) array of float
        Between the two groups of random divisions of the people of both.
    corrected, corrected_without : CorrectedCorrelation
        Less the noise of having few people; the second without the terms that were named.
    """

    reliabilities: tuple[Reliability, Reliability]
    correlation: float
    split_correlations: Floats
    corrected: CorrectedCorrelation
    corrected_without: CorrectedCorrelation


def reliabilities_of(
    vectors: AnyPairs,
    first: Bools,
    halves: int,
    draw: Callable[[str], np.random.Generator],
) -> tuple[Reliability, Reliability]:
    """Return the split-half reliability of both populations; `draw` gives random numbers."""
    one, other = (
        split_half_reliability(vectors.of(group), halves, draw(f"halves {side}"))
        for side, group in enumerate((first, ~first))
    )
    return one, other
