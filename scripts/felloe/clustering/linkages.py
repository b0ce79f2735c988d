"""All linkages side by side on the same distances."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from felloe.clustering.replicates.null import cophenetic_null
from felloe.ground.arrays import Floats
from felloe.ground.distances import Distances
from felloe.ground.groups.linkage import (
    METHODS,
    agglomerative_coefficient,
    cophenetic_correlation,
    merge_scale,
)
from felloe.ground.groups.partition import Partition
from felloe.ground.groups.tree import tree_of
from felloe.ground.terms import check_same


@dataclass(frozen=True)
class LinkageResult:
    """
    The tree of one linkage, against the chosen groups.

    Attributes
    ----------
    linkage : str
    cophenetic_correlation : float
    cophenetic_null_mean : float
        Its mean with terms permuted within participants.
    agglomerative_coefficient : float
    ari_class, ari_subclass : float
        Adjusted Rand index of its classes and subclasses with the chosen ones.
    changing : tuple of str
        Terms that change class.
    """

    linkage: str
    cophenetic_correlation: float
    cophenetic_null_mean: float
    agglomerative_coefficient: float
    ari_class: float
    ari_subclass: float
    changing: tuple[str, ...]


def compare_linkages(
    distances: Distances,
    null_distances: Sequence[Floats],
    classes: Partition,
    subclasses: Partition,
) -> list[LinkageResult]:
    """
    Describe the tree of every linkage, and how far its groups agree with the chosen ones.

    Parameters
    ----------
    distances : Distances
    null_distances : sequence of (N, N) array of float
        Of data sets with terms permuted within participants.
    classes, subclasses : Partition
        Groups of the chart.

    Returns
    -------
    list of LinkageResult
        In the order of `METHODS`.

    Raises
    ------
    DifferentTerms
        If distances and groups are not about the same terms.
    """
    check_same(distances.terms, classes.terms, "the distances", "the classes")
    check_same(distances.terms, subclasses.terms, "the distances", "the subclasses")
    found = []
    for method in METHODS:
        tree = tree_of(distances, method)
        other = tree.cut(classes.n_groups)
        finer = tree.cut(subclasses.n_groups)
        found.append(
            LinkageResult(
                linkage=method,
                cophenetic_correlation=cophenetic_correlation(
                    tree.Z, merge_scale(distances.D, method)
                ),
                cophenetic_null_mean=cophenetic_null(null_distances, method),
                agglomerative_coefficient=agglomerative_coefficient(tree.Z),
                ari_class=other.adjusted_rand(classes),
                ari_subclass=finer.adjusted_rand(subclasses),
                changing=changing_terms(other, classes),
            )
        )
    return found


def changing_terms(other: Partition, reference: Partition) -> tuple[str, ...]:
    """Return the terms that are not in the reference's group that stands for their own."""
    changed = reference.changed(other)
    return tuple(reference.terms[place] for place in np.flatnonzero(changed))
