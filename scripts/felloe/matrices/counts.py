"""The counts of every population, and of all of them together."""

from felloe.ground.people.counts import Counts, counts_of
from felloe.ground.people.sorts import POOLED, Sorts


def counts_by_population(sorts: Sorts) -> dict[str, Counts]:
    """
    Count each population, and everybody.

    Parameters
    ----------
    sorts : Sorts

    Returns
    -------
    dict of str to Counts
        The populations that have a participant, in sorted order, then `POOLED`.
    """
    return {name: counts_of(sorts.of(name)) for name in (*sorts.names, POOLED)}
