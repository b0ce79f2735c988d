"""The bootstrap as a whole: which redraws there are, their shares of the work, what they give."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from felloe.clustering.replicates.draw_distances import DrawDistances
from felloe.clustering.replicates.multiscale import SCALES
from felloe.clustering.replicates.null import Null
from felloe.clustering.replicates.redraws import (
    NULL_PURPOSE,
    Basis,
    most_drawn,
    permuted_basis,
    redraw_trees,
    scale_drawn,
)
from felloe.ground.arrays import Array, Floats, Ints
from felloe.ground.distances import Distances
from felloe.ground.groups.tree import Tree
from felloe.ground.randomness import Streams
from felloe.ground.terms import Terms, check_same


@dataclass(frozen=True)
class Plan:
    """
    How many redraws there are of what.

    Attributes
    ----------
    replicates : int
        Redraws of the participants.
    null_sets : int
        Data sets with terms permuted within participants.
    null_replicates : int
        Redraws of the participants in each of them.
    multiscale : int
        Redraws of each size of the multiscale bootstrap; 0 if it is off.
    """

    replicates: int
    null_sets: int
    null_replicates: int
    multiscale: int


@dataclass(frozen=True)
class Part:
    """
    The trees that one job draws; numbers say where each belongs.

    Attributes
    ----------
    terms : Terms
    numbers, null_numbers, scale_numbers : (n,) array of int
    merges : (n, N - 1, 2) array of int
        By number of the replicate.
    null_merges : (n, R', N - 1, 2) array of int
        By number of the permuted data set.
    scale_merges : (S, n, N - 1, 2) array of int
        By scale, then by number; S is 0 if the multiscale bootstrap is off.
    scales : (S,) array of float
        Participants that were drawn over participants there are.
    """

    terms: Terms
    numbers: Ints
    merges: Array
    null_numbers: Ints
    null_merges: Array
    scale_numbers: Ints
    scale_merges: Array
    scales: Floats


@dataclass(frozen=True)
class Redrawn:
    """
    All trees of redrawn participants.

    Attributes
    ----------
    terms : Terms
    merges : (R, N - 1, 2) array of int
    null_merges : (M, R', N - 1, 2) array of int
        Of M data sets with terms permuted within participants.
    scale_merges : (S, R'', N - 1, 2) array of int
        Of each size of the multiscale bootstrap; S is 0 if it is off.
    scales : (S,) array of float
        As in `Part`.
    """

    terms: Terms
    merges: Array
    null_merges: Array
    scale_merges: Array
    scales: Floats


def share_of_part(part_name: str, number: int) -> Ints:
    """Return which of `number` things a part named 'i-of-n' makes."""
    part, parts = (int(word) for word in part_name.split("-of-"))
    return np.arange(part - 1, number, parts)


def draw_part(
    terms: Terms, basis: Basis, method: str, streams: Streams, plan: Plan, part_name: str
) -> Part:
    """
    Draw what one part of the bootstrap has to draw.

    Parameters
    ----------
    terms : Terms
        Of the columns of the basis.
    basis : Basis
    method : str
    streams : Streams
    plan : Plan
    part_name : str
        'i-of-n'; the parts together hold every redraw once, whatever n is.

    Returns
    -------
    Part
    """
    numbers = share_of_part(part_name, plan.replicates)
    sets = share_of_part(part_name, plan.null_sets)
    of_scale = share_of_part(part_name, plan.multiscale)
    scales = SCALES if plan.multiscale else ()
    measure = DrawDistances(basis, most_drawn(basis))
    null_merges = [null_trees(basis, method, streams, one, plan, measure) for one in sets.tolist()]
    scale_merges = [
        redraw_trees(basis, method, streams, of_scale.tolist(), f"scale-{size}", size)
        for size in scales
    ]
    tree = (basis.n_terms - 1, 2)
    return Part(
        terms=terms,
        numbers=numbers,
        merges=redraw_trees(basis, method, streams, numbers.tolist(), measure=measure),
        null_numbers=sets,
        null_merges=stacked(null_merges, (len(sets), plan.null_replicates, *tree)),
        scale_numbers=of_scale,
        scale_merges=stacked(scale_merges, (len(scales), len(of_scale), *tree)),
        scales=np.array([scale_drawn(basis, size) for size in scales]),
    )


def null_trees(
    basis: Basis, method: str, streams: Streams, number: int, plan: Plan, measure: DrawDistances
) -> Array:
    """
    Redraw the participants of one data set with terms permuted within participants.

    `measure` is that of the basis; the permuted sets take over what they share with it.
    """
    without = permuted_basis(basis, streams.generator(NULL_PURPOSE, number))
    permuted = DrawDistances(without, most_drawn(without), measure)
    numbers, purpose = range(plan.null_replicates), f"{NULL_PURPOSE}-{number}"
    return redraw_trees(without, method, streams, numbers, purpose, measure=permuted)


def stacked(arrays: list[Array], shape: tuple[int, ...]) -> Array:
    """Return arrays of merges as one, also where there are none."""
    return np.array(arrays, dtype=np.uint16).reshape(shape)


def gathered(parts: Sequence[Part]) -> Redrawn:
    """
    Put the trees of all parts in order.

    Parameters
    ----------
    parts : sequence of Part
        In any order.

    Returns
    -------
    Redrawn

    Raises
    ------
    DifferentTerms
        If the parts are not about the same terms.
    """
    first, *others = parts
    for number, part in enumerate(others, 2):
        check_same(first.terms, part.terms, "part 1 of the redraws", f"part {number}")

    def ordered(numbers: Sequence[Ints], trees: Sequence[Array], axis: int = 0) -> Array:
        order = np.argsort(np.concatenate(numbers), kind="stable")
        return np.concatenate(trees, axis=axis).take(order, axis=axis)

    return Redrawn(
        first.terms,
        ordered([part.numbers for part in parts], [part.merges for part in parts]),
        ordered([part.null_numbers for part in parts], [part.null_merges for part in parts]),
        ordered([part.scale_numbers for part in parts], [part.scale_merges for part in parts], 1),
        first.scales,
    )


@dataclass(frozen=True)
class Bootstrap:
    """
    The tree of the chart and all that its support is measured with.

    Attributes
    ----------
    tree : Tree
    distances : Distances
        That the tree was built from.
    method : str
        Linkage.
    redrawn : Redrawn
    null : Null

    Raises
    ------
    DifferentTerms
        If tree, distances and redraws are not about the same terms.
    """

    tree: Tree
    distances: Distances
    method: str
    redrawn: Redrawn
    null: Null

    def __post_init__(self) -> None:
        """Check the terms."""
        check_same(self.tree.terms, self.distances.terms, "the tree", "the distances")
        check_same(self.tree.terms, self.redrawn.terms, "the tree", "the redraws")

    @property
    def terms(self) -> Terms:
        """The terms of them all."""
        return self.tree.terms
