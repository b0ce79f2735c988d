"""What the comparison of two editions is set to."""

from dataclasses import dataclass

FEWEST_TERMS = 4  # below, neither an order around a circle nor a tree says anything


@dataclass(frozen=True)
class Settings:
    """
    How often things are drawn at random.

    Attributes
    ----------
    permutations, shape_permutations : int
        Of every test, and of that of single terms.
    halves : int
        Random divisions of each edition's people into halves.
    granularity_bins : int
        Bins of equal count within which people change editions in the adjusted test.
    level : float
        At which a term is named as placed differently.
    """

    permutations: int
    shape_permutations: int
    halves: int
    granularity_bins: int
    level: float
