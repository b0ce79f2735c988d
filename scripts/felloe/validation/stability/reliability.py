"""Would the same number of other people give the same picture, and what would more people add?"""

import math
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np

from felloe.ground.arrays import Array, Bools, Floats, Ints
from felloe.ground.groups.agreement import adjusted_rand
from felloe.ground.groups.linkage import cut, tree_of_pairs
from felloe.ground.people.counted_pairs import CountedPairs
from felloe.ground.people.halves import (
    at_once,
    correlate_rows,
    correlated_samples,
    similarities,
    spearman_brown,
)
from felloe.ground.people.sorts import POOLED, Sorts
from felloe.ground.randomness import Streams
from felloe.ground.rounding import PRODUCT_DECIMALS
from felloe.validation.settings import StabilitySettings

BAND = (0.05, 0.5, 0.95)  # nine tenths of the repeats and their middle: of few, the ends are noise
QUANTITIES = tuple(
    f"{quantity}{ending}"
    for ending in ("", "_with_all")
    for quantity in ("matrix_correlation", "class_agreement", "subclass_agreement")
)
Sizes = dict[str, tuple[int, int]]  # members of two samples, by population


@dataclass(frozen=True)
class Cuts:
    """How the trees of samples are made, and into how many groups they are cut."""

    linkage: str
    classes: int
    subclasses: int


@dataclass(frozen=True)
class Spread:
    """
    A quantity over repeats.

    Attributes
    ----------
    quantity : str
    participants : int
        People behind each of the matrices that are compared.
    repeats : int
        Repeats that gave a value.
    mean, low, median, high : float
        `low` and `high` hold nine tenths of the repeats between them; nan without repeats.
    """

    quantity: str
    participants: int
    repeats: int
    mean: float
    low: float
    median: float
    high: float


@dataclass(frozen=True)
class Stability:
    """
    How well halves and growing samples of the participants agree.

    Attributes
    ----------
    halves : dict of str to (Spread, Spread)
        By population, `POOLED` last: the correlation of halves, and the reliability of all.
    curve : list of Spread
        See `learning_curve`.
    """

    halves: dict[str, tuple[Spread, Spread]]
    curve: list[Spread]

    @property
    def rows(self) -> list[dict[str, Any]]:
        """The rows of `validation/stability.csv`; the learning curve is that of everybody."""
        halves = [(name, each) for name, both in self.halves.items() for each in both]
        told = [*halves, *((POOLED, point) for point in self.curve)]
        return [{"population": name, **asdict(each)} for name, each in told]


def repeated_on_parts(
    sorts: Sorts, cuts: Cuts, settings: StabilitySettings, streams: Streams
) -> Stability:
    """
    Repeat the study on parts of its participants.

    Parameters
    ----------
    sorts : Sorts
    cuts : Cuts
    settings : StabilitySettings
    streams : Streams

    Returns
    -------
    Stability
    """
    halves = {}
    vectors = CountedPairs(sorts.piles, sorts.prior)
    for name in (*sorts.names, POOLED):
        members = sorts.of(name)
        rng = streams.generator(f"split halves {name}")
        own = vectors if name == POOLED else CountedPairs(members.piles, members.prior)
        halves[name] = split_halves(own, members.populations, settings.halves, rng)
    steps, repeats = settings.curve_steps, settings.curve_repeats
    curve = learning_curve(vectors, sorts.populations, steps, repeats, cuts, streams)
    return Stability(halves, curve)


def spread(quantity: str, participants: int, values: Sequence[float] | Floats) -> Spread:
    """Summarise the repeats that gave a value."""
    known = np.asarray(values, dtype=float)
    known = known[np.isfinite(known)]
    if not len(known):
        mean = low = median = high = math.nan
    else:
        mean = round(float(known.mean()), PRODUCT_DECIMALS)
        low, median, high = np.round(np.quantile(known, BAND), PRODUCT_DECIMALS).tolist()
    return Spread(quantity, participants, len(known), mean=mean, low=low, median=median, high=high)


def stratified_samples(
    rng: np.random.Generator, populations: Sequence[str] | Array, sizes: Sizes, repeats: int
) -> tuple[Bools, Bools]:
    """
    Draw two samples without a common member, each with so many of every population.

    Parameters
    ----------
    rng : numpy.random.Generator
    populations : (n_people,) array of str
    sizes : Sizes
    repeats : int

    Returns
    -------
    first, second : (repeats, n_people) array of bool

    Raises
    ------
    ValueError
        If a population has too few members for both samples.
    """
    of_people = np.asarray(populations)
    first = np.zeros((repeats, len(of_people)), dtype=bool)
    second = np.zeros_like(first)
    for name in np.unique(of_people):
        members = np.flatnonzero(of_people == name)
        one, other = sizes[name]
        if one + other > len(members):
            raise ValueError(f"{name!r} has {len(members)} members, {one + other} are asked for")
        ranks = rng.permuted(np.tile(np.arange(len(members)), (repeats, 1)), axis=1)
        first[:, members] = ranks < one
        second[:, members] = (ranks >= one) & (ranks < one + other)
    return first, second


def half_sizes(populations: Sequence[str] | Array) -> Sizes:
    """Return the sizes of two halves of every population; the second has the odd one."""
    names, counts = np.unique(np.asarray(populations), return_counts=True)
    return {
        name: (int(count // 2), int(count - count // 2))
        for name, count in zip(names.tolist(), counts, strict=True)
    }


def curve_sizes(populations: Sequence[str], steps: int) -> list[Sizes]:
    """
    Return sizes of equal samples, from a few people up to half of every population.

    Parameters
    ----------
    populations : sequence of str
    steps : int

    Returns
    -------
    list of Sizes
        Each of another total size, in ascending order.
    """
    halves = {name: one for name, (one, _) in half_sizes(populations).items()}
    found: dict[int, Sizes] = {}
    for step in range(1, steps + 1):
        sizes = {name: max(1, half * step // steps) for name, half in halves.items()}
        found.setdefault(sum(sizes.values()), {name: (n, n) for name, n in sizes.items()})
    return [found[total] for total in sorted(found)]


def split_halves(
    vectors: CountedPairs, populations: Sequence[str], halves: int, rng: np.random.Generator
) -> tuple[Spread, Spread]:
    """
    Correlate random halves of the people, each population halved.

    Parameters
    ----------
    vectors : PairVectors or CountedPairs
    populations : sequence of str
    halves : int
    rng : numpy.random.Generator

    Returns
    -------
    correlation : Spread
        Of the halves.
    reliability : Spread
        The same stepped up to all of the people by Spearman-Brown, 2r / (1 + r); its mean is
        that of the mean correlation.

    References
    ----------
    Spearman (1910) and Brown (1910), British Journal of Psychology 3 (from memory).
    """
    values = correlated_samples(
        vectors, *stratified_samples(rng, populations, half_sizes(populations), halves)
    )
    half = spread("split_half_correlation", len(populations) // 2, values)
    return half, Spread(
        "reliability",
        len(populations),
        half.repeats,
        mean=stepped_up(half.mean),
        low=stepped_up(half.low),
        median=stepped_up(half.median),
        high=stepped_up(half.high),
    )


def stepped_up(half: float) -> float:
    """Return the reliability of the whole; -1 where halves contradict each other too far."""
    if math.isnan(half):
        return math.nan
    return -1.0 if half <= -1.0 else round(max(-1.0, spearman_brown(half)), PRODUCT_DECIMALS)


def tier_cuts(similar_row: Floats, cuts: Cuts) -> list[Ints]:
    """Return classes and subclasses from the tree of one row of pairs; unknown pairs are apart."""
    row = np.where(np.isfinite(similar_row), similar_row, 0.0)
    tree = tree_of_pairs(1.0 - row, cuts.linkage)
    return [cut(tree, number) for number in (cuts.classes, cuts.subclasses)]


@dataclass(frozen=True)
class Everybody:
    """The matrix of all people as one row of pairs, and its classes and subclasses."""

    row: Floats
    tiers: list[Ints]


def learning_curve(
    vectors: CountedPairs,
    populations: Sequence[str],
    steps: int,
    repeats: int,
    cuts: Cuts,
    streams: Streams,
) -> list[Spread]:
    """
    Compare samples of growing size with one another and with all of the people.

    Parameters
    ----------
    vectors : PairVectors or CountedPairs
    populations : sequence of str
    steps, repeats : int
        Sizes, and pairs of samples of each.
    cuts : Cuts
    streams : Streams

    Returns
    -------
    list of Spread
        For each size `matrix_correlation`, `class_agreement` and `subclass_agreement` (adjusted
        Rand) between two samples without a common member; and the same `_with_all` between one
        of them and everybody, which flatters, the sample being part of the whole.
    """
    row = similarities(vectors, np.ones((1, len(populations)), dtype=bool))
    everybody = Everybody(row, tier_cuts(row[0], cuts))
    points = []
    for number, sizes in enumerate(curve_sizes(populations, steps)):
        rng = streams.generator("learning curve", number)
        samples = stratified_samples(rng, populations, sizes, repeats)
        parts = range(at_once(row.shape[1]), repeats, at_once(row.shape[1]))
        found = [
            compared(vectors, one, other, everybody, cuts)
            for one, other in zip(*(np.split(each, parts) for each in samples), strict=True)
        ]
        n = sum(members for members, _ in sizes.values())
        for quantity, values in zip(QUANTITIES, np.concatenate(found).T, strict=True):
            points.append(spread(quantity, n, values))
    return points


def compared(
    vectors: CountedPairs, first: Bools, second: Bools, everybody: Everybody, cuts: Cuts
) -> Floats:
    """
    Compare two samples with one another, and the first with everybody.

    Parameters
    ----------
    vectors : PairVectors or CountedPairs
    first, second : (repeats, n_people) array of bool
    everybody : Everybody
    cuts : Cuts

    Returns
    -------
    (repeats, 6) array of float
        One column per entry of `QUANTITIES`.
    """
    one, other = (similarities(vectors, sample) for sample in (first, second))
    tiers, others = ([tier_cuts(row, cuts) for row in rows] for rows in (one, other))
    whole = np.broadcast_to(everybody.row, one.shape)
    return np.column_stack(
        [
            correlate_rows(one, other),
            agreements(tiers, others),
            correlate_rows(one, whole),
            agreements(tiers, [everybody.tiers] * len(one)),
        ]
    )


def agreements(first: Sequence[list[Ints]], second: Sequence[list[Ints]]) -> Floats:
    """Return the adjusted Rand indices of cuts, one row a repeat and one column a tier."""
    return np.array(
        [
            [adjusted_rand(one, other) for one, other in zip(*pair, strict=True)]
            for pair in zip(first, second, strict=True)
        ]
    )
