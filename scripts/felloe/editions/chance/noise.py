"""What two random halves of one study show, on the terms that two editions share: the noise."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import compress

import numpy as np

from felloe.clustering.replicates.draw_distances import DrawDistances
from felloe.clustering.replicates.redraws import Basis
from felloe.comparison.exchanging.label_tests import (
    direction_test,
    granularity_columns,
    granularity_residuals,
)
from felloe.comparison.exchanging.matching import granularity_measures
from felloe.editions.comparison import Edition, compare_divisions, compare_drawings
from felloe.editions.correspondence import MOVED, match_classes
from felloe.editions.edition import EditionFiles
from felloe.editions.people import sorters
from felloe.ground.arrays import Array, Bools, Floats, Ints
from felloe.ground.correlation import average_ranks, correlation
from felloe.ground.distances import Distances
from felloe.ground.groups.tree import Tree, tree_of
from felloe.ground.ordering.circular_order import circular_order
from felloe.ground.ordering.tree import from_linkage
from felloe.ground.people.halves import FEWEST_FOR_HALVES, random_groups
from felloe.ground.people.pairs import mirkin_distances, pair_vectors
from felloe.ground.people.sorts import POOLED, Sorts
from felloe.ground.randomness import Streams
from felloe.ground.rounding import HEIGHT_DECIMALS, PRODUCT_DECIMALS
from felloe.ground.squares import doubly_centred, squared
from felloe.ground.terms import Terms
from felloe.tiers.tree_surgery import pruned

DIVISIONS = 60  # at the most; the ends of the range are then known to three in a hundred
LOW, HIGH = 0.05, 0.95  # ends of the range that is told: nine in ten divisions lie within
CHART = "data_only"  # halves have no committee, so they are charted from their sorts alone
AT_A_TIME = 10  # divisions, to bound memory; no result depends on it


@dataclass(frozen=True)
class Study:
    """
    What a study is charted from, and what of it is common to two editions.

    Attributes
    ----------
    sorts : Sorts
        Of all its terms, by the people whose chart it is.
    weights : {"plain", "equal"}
        Whether each participant weighs the same, or each population.
    distances : Distances
        Of its chart; they stand for a pair of terms that nobody of a half placed.
    method : str
        Linkage.
    n_classes, n_subclasses : int
        Of its chart from the sorts alone.
    ring : tuple of str
        Terms around its circle.
    common : tuple of str
        The common terms, as it calls them.
    """

    sorts: Sorts
    weights: str
    distances: Distances
    method: str
    n_classes: int
    n_subclasses: int
    ring: tuple[str, ...]
    common: tuple[str, ...]

    @classmethod
    def of(cls, edition: EditionFiles, common: Sequence[str], method: str) -> "Study":
        """Take from an edition what its halves are charted by."""
        sorts, rows = edition.sorts, edition.charts[CHART].values()
        charted = [edition.source in (POOLED, one) for one in sorts.populations]
        return cls(
            sorts=Sorts(
                tuple(compress(sorts.participants, charted)),
                tuple(compress(sorts.populations, charted)),
                sorts.terms,
                sorts.piles[charted],
                sorts.prior,
            ),
            weights=edition.weights,
            distances=edition.distances,
            method=method,
            n_classes=len({row["class"] for row in rows}),
            n_subclasses=len({row["subclass"] for row in rows}),
            ring=edition.order,
            common=tuple(common),
        )


@dataclass(frozen=True)
class Spread:
    """Median of an index over divisions, and the ends of the range of nine in ten; nan: untold."""

    median: float
    low: float
    high: float


@dataclass(frozen=True)
class Noise:
    """
    What random halves of one study show.

    Attributes
    ----------
    n_people : int
        Of whom the halves are halves.
    n_half : int
        People in the smaller half.
    divisions : int
    indices : dict of str to Spread
        By where the index stands in `comparison.json`.
    """

    n_people: int
    n_half: int
    divisions: int
    indices: Mapping[str, Spread]


def noise_of(
    study: Study, part: Edition, name: str, divisions: int, streams: Streams
) -> Noise | None:
    """
    Return what two random halves of a study show, beside every index of two editions.

    Every half is charted anew: its distances, its tree cut into as many classes and subclasses as
    the study has, its circle and its map; then it is cut down to the common terms.

    Parameters
    ----------
    study : Study
    part : Edition
        The same study cut down to the common terms; its people are those of the tests.
    name : str
        `older` or `newer`.
    divisions : int
        Random divisions wished for; at most `DIVISIONS` are made.
    streams : Streams
        Of this pair of editions.

    Returns
    -------
    Noise or None
        None for fewer than four people.
    """
    populations = np.array(study.sorts.populations)
    if len(populations) < FEWEST_FOR_HALVES:
        return None
    number = min(divisions, DIVISIONS)
    groups = divided_people(streams.generator(f"editions noise {name}"), populations, number)
    found = [indices_of(*halves, streams) for halves in charted_halves(study, groups)]
    rng = streams.generator(f"editions noise people {name}")
    tests = people_apart(part.sorts, rng, number)
    values = {key: np.array([one[key] for one in found]) for key in found[0]}
    return Noise(
        n_people=len(populations),
        n_half=int(min(groups.sum(axis=1).min(), (~groups).sum(axis=1).min())),
        divisions=number,
        indices={key: spread(one) for key, one in {**values, **tests}.items()},
    )


def spread(values: Floats) -> Spread:
    """Return the median and the ends of the range of some values, those untold left out."""
    known = values[np.isfinite(values)]
    if not len(known):
        return Spread(float("nan"), float("nan"), float("nan"))
    low, median, high = np.round(np.quantile(known, (LOW, 0.5, HIGH)), PRODUCT_DECIMALS).tolist()
    return Spread(median, low, high)


def divided_people(rng: np.random.Generator, populations: Array, divisions: int) -> Bools:
    """Return (divisions, n_people) of bool: half of each population in each row, or one fewer."""
    groups = np.zeros((divisions, len(populations)), dtype=bool)
    for name in np.unique(populations):
        members = np.flatnonzero(populations == name)
        groups[:, members] = random_groups(rng, len(members), len(members) // 2, divisions)
    return groups


def charted_halves(study: Study, groups: Bools) -> Iterator[tuple[Edition, Edition]]:
    """Yield both halves of every division, charted and cut down to the common terms."""
    measure = measure_of(study)
    for start in range(0, len(groups), AT_A_TIME):
        rows = groups[start : start + AT_A_TIME]
        for one, other in zip(measure(rows), measure(~rows), strict=True):
            yield charted(study, one), charted(study, other)


def measure_of(study: Study) -> Callable[[Bools], Floats]:
    """
    Return a function that measures a study's pairs of terms by some of its people.

    It takes (n_choices, n_people) of bool, as many of each population in every row, and gives
    (n_choices, n_pairs): the distances as the bootstrap of the study measures them.
    """
    populations = np.array(study.sorts.populations)
    strata = tuple(np.flatnonzero(populations == name) for name in np.unique(populations))
    piles, prior = study.sorts.piles, study.sorts.prior
    measure = DrawDistances(
        Basis(piles, strata, study.weights, study.distances.pairs, prior), len(piles)
    )

    def measured(chosen: Bools) -> Floats:
        with np.errstate(invalid="ignore"):  # a population of one has nobody in one of the halves
            return np.asarray(measure(chosen.astype(int))[:, measure.position])

    return measured


def charted(study: Study, pairs: Floats) -> Edition:
    """Chart the distances of some people of a study, as their study was charted."""
    terms = study.sorts.terms
    apart = Distances(terms, squared(pairs, len(terms)))
    tree = tree_of(apart, study.method)
    heights = np.round(tree.cophenetic().D, HEIGHT_DECIMALS)
    places = terms.places(study.common)

    def groups(number: int) -> tuple[str, ...]:
        labels: Ints = tree.cut(number).labels[places]
        return tuple(str(label) for label in labels.tolist())

    shared = set(study.common)
    return Edition(
        sorts=study.sorts.on(study.common),
        distances=apart.on(study.common),
        heights=Distances(terms, heights).on(study.common),
        groups={CHART: {"class": groups(study.n_classes), "subclass": groups(study.n_subclasses)}},
        order=tuple(term for term in ordered(tree, apart, study.ring) if term in shared),
    )


def ordered(tree: Tree, apart: Distances, ring: Sequence[str]) -> tuple[str, ...]:
    """Return the terms of a ring in the shortest circular order that a tree allows."""
    around = Terms(term for term in tree.terms if term in set(ring))
    kept = pruned(tree, around) if len(around) < len(tree.terms) else tree
    order = circular_order(from_linkage(kept.Z), apart.on(around).D, count=False).order
    return tuple(around[place] for place in order)


def indices_of(one: Edition, other: Edition, streams: Streams) -> dict[str, float]:
    """Return every index of two editions but those that test people, by its place in the record."""
    pairs = one.distances.pairs, other.distances.pairs
    tiers = compare_divisions(one, other)[CHART]
    drawn = compare_drawings(one, other, 0, streams)
    classes = one.groups[CHART]["class"], other.groups[CHART]["class"]
    found = {
        "mantel.pearson.r": correlation(*pairs),
        "mantel.spearman.r": correlation(*map(average_ranks, pairs)),
        "migrations.moved": float(moved(*classes)),
        "trees.cophenetic_correlation": drawn.trees.cophenetic_correlation,
        "trees.bakers_gamma": drawn.trees.bakers_gamma,
        "trees.robinson_foulds": float(drawn.trees.robinson_foulds),
        "trees.robinson_foulds_share": drawn.trees.robinson_foulds_share,
        "order.uniform_margins": drawn.circle.uniform,
        "order.fisher_lee": drawn.circle.fisher_lee,
        "maps.procrustes_m2": drawn.maps.m_squared,
        "maps.correlation": drawn.maps.correlation,
        "maps.rv": drawn.maps.rv,
    }
    for tier, divided in tiers.items():
        key = f"tiers.{CHART}.{tier}"
        found[f"{key}.adjusted_rand"] = divided.adjusted_rand
        found[f"{key}.adjusted_mutual_information"] = divided.adjusted_mutual_information
        found[f"{key}.variation_of_information"] = divided.variation_of_information
    return found


def moved(older: Sequence[str], newer: Sequence[str]) -> int:
    """Return how many terms stand in a class that does not correspond to their former one."""
    found = match_classes(older, newer)
    return sum(found.relation(a, b) == MOVED for a, b in zip(older, newer, strict=True))


def people_apart(sorts: Sorts, rng: np.random.Generator, divisions: int) -> dict[str, Floats]:
    """
    Return how far apart random halves of some people are, by the measures of the label tests.

    Parameters
    ----------
    sorts : Sorts
        Of the common terms.
    rng : numpy.random.Generator
    divisions : int

    Returns
    -------
    dict of str to (divisions,) array of float
        By where the measure stands in `comparison.json`; nan for fewer than four people.
    """
    partial = sorts.prior is not None
    piles = sorts.piles[sorters(sorts.piles, partial)]
    names = [f"label_permutation.{name}" for name in ("pseudo_F", "r_squared", "pseudo_F_adjusted")]
    if len(piles) < FEWEST_FOR_HALVES:
        return {name: np.full(divisions, np.nan) for name in names}
    gram = doubly_centred(mirkin_distances(pair_vectors(piles, sorts.prior)))
    projection, rank = granularity_residuals(
        granularity_columns(granularity_measures(piles, partial))
    )
    left_over = projection @ gram @ projection
    rows, nobody = [], np.empty((0, len(piles)))
    for half in random_groups(rng, len(piles), len(piles) // 2, divisions):
        freely = direction_test(gram, half - half.mean(), nobody, len(piles) - 2)
        contrast = projection @ half.astype(float)
        adjusted = direction_test(left_over, contrast, nobody, len(piles) - rank - 1)
        rows.append((freely.pseudo_f, freely.r_squared, adjusted.pseudo_f))
    return dict(zip(names, np.array(rows).T, strict=True))
