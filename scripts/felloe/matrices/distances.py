"""From published counts to the distances that a chart is made from."""

from collections.abc import Mapping, Sequence
from typing import Literal, get_args

import numpy as np

from felloe.ground.arrays import Array, Floats
from felloe.ground.distances import Distances, rounded_dissimilarity
from felloe.ground.people.counts import Counts
from felloe.ground.people.sorts import POOLED, Sorts
from felloe.ground.terms import Terms, check_same
from felloe.matrices.counts import counts_by_population

Weights = Literal["plain", "equal"]


def chart_distances(counts: Mapping[str, Counts], source: str, weights: str) -> Distances:
    """
    Return the distances that the chart is made from.

    Parameters
    ----------
    counts : mapping of str to Counts
        By population, and of `POOLED`. Only those that the chart needs have to be there.
    source : str
        `POOLED`, or the population that the chart is for.
    weights : Weights
        What each weighs when all are pooled: "plain" every participant the same; "equal" every
        population, by the mean of the populations' similarities.

    Returns
    -------
    Distances
        0 to 1, rounded once to `rounding.DISTANCE_DECIMALS`.

    Raises
    ------
    ValueError
        For other weights, or if nobody of a needed population placed both of some two terms.
    DifferentTerms
        If populations to be averaged were not counted on the same terms.
    """
    if weights not in get_args(Weights):
        raise ValueError(f"weights are 'plain' or 'equal', not {weights!r}")
    if source != POOLED or weights == "plain":
        chosen = counts[source]
        return Distances(chosen.terms, rounded_dissimilarity(chosen.similarity()))
    parts = {name: counts[name] for name in sorted(counts) if name != POOLED}
    first, *others = parts
    for name in others:
        check_same(parts[first].terms, parts[name].terms, f"counts of {first}", f"those of {name}")
    similar = parts[first].similarity()
    for name in others:  # in the order of names, since the last bit of a sum depends on the order
        similar = similar + parts[name].similarity()
    return Distances(parts[first].terms, rounded_dissimilarity(similar / len(parts)))


def sorts_distances(sorts: Sorts, source: str, weights: str) -> Distances:
    """Return the distances that the chart of some sorts is made from; see `chart_distances`."""
    return chart_distances(counts_by_population(sorts), source, weights)


def chart_dissimilarity(
    piles: Array,
    populations: Sequence[str],
    source: str,
    weights: str,
    prior: float | None = None,
) -> Floats:
    """
    Return the distances of the chart of piles that carry no ids, as those of redrawn people.

    Parameters
    ----------
    piles : (n_participants, n_terms) array of int
    populations : sequence of str
        The population of each participant.
    source, weights : str
        See `chart_distances`.
    prior : float, optional
        Of partial sorts; see `felloe.ground.people.counts.drawn_to_mean`.

    Returns
    -------
    (n_terms, n_terms) array of float
    """
    people, terms = np.shape(piles)
    names = tuple(str(name) for name in populations)
    numbers = [str(number) for number in range(max(people, terms))]
    sorts = Sorts(tuple(numbers[:people]), names, Terms(numbers[:terms]), np.asarray(piles), prior)
    return sorts_distances(sorts, source, weights).D
