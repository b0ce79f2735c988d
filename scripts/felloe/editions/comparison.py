"""Two editions on their common terms: distances, people, classes, trees, orders and maps."""

from dataclasses import dataclass

import numpy as np

from felloe.circle.agreement import circular_agreement
from felloe.clustering.tree_similarity import compare_trees
from felloe.comparison.association import mantel, match_configurations
from felloe.comparison.label_tests import (
    adjusted_label_test,
    granularity_bins,
    permanova,
    shuffled_people,
    shuffled_within,
)
from felloe.comparison.noise_ceiling import corrected_correlation
from felloe.editions.correspondence import order_angles
from felloe.ground.agreement import (
    adjusted_mutual_information,
    adjusted_rand,
    variation_of_information,
)
from felloe.ground.halves import split_half_reliability
from felloe.ground.pairs import mirkin_distances, pair_shares, pair_vectors, person_covariances
from felloe.ground.randomness import stratified_draw
from felloe.ground.sorts import UNPLACED
from felloe.ground.squares import doubly_centred

FEWEST_TERMS = 4  # below, neither an order around a circle nor a tree says anything
GRANULARITY_BINS = 6  # coarser strata let differences of granularity through


@dataclass(frozen=True)
class Edition:
    """
    One edition cut down to the common terms.

    Attributes
    ----------
    terms : tuple of str
        One id per term, the same and in the same order in both editions.
    piles : (n_people, n_terms) array of int
        `UNPLACED` where a term was not placed.
    apart, heights : (n_terms, n_terms) array of float
        The chart's distances, and the heights at which terms join in its tree.
    partitions : dict of str to dict of str to tuple of str
        Chart (`published`, `data_only`), then tier (`class`, `subclass`), to the group of each
        term.
    order : tuple of str
        Terms in order around the published circle; may lack those that became names.
    """

    terms: tuple
    piles: np.ndarray
    apart: np.ndarray
    heights: np.ndarray
    partitions: dict
    order: tuple


def compare_distances(older, newer, permutations, streams):
    """Return the association of the two matrices of distances, by Mantel's test."""
    found = {}
    for method in ("pearson", "spearman"):
        rng = streams.generator(f"editions mantel {method}")
        result = mantel(older.apart, newer.apart, method, permutations, rng)
        found[method] = {
            "r": result.correlation,
            "p": result.p_value,
            "permutations": result.permutations,
            "n_terms": result.n_terms,
            "alternative": "greater",
        }
    return found


def sorters(piles):
    """Return who placed enough of the common terms to be compared with anybody else."""
    placed = (np.asarray(piles) != UNPLACED).sum(axis=1)
    return placed >= np.shape(piles)[1] / 2 + 1  # any two then share two terms


def compare_people(older, newer, permutations, redraws, halves, streams):
    """
    Ask whether the people of two editions could have been one group.

    Parameters
    ----------
    older, newer : Edition
    permutations, redraws, halves : int
        Of the label of the edition; of participants; into halves.
    streams : Streams

    Returns
    -------
    dict
        `label_permutation`: the pooling dossier's test with editions in place of populations;
        `reliability` and `corrected_r`: the correlation less the noise of both studies.
    """
    kept = [piles[sorters(piles)] for piles in (older.piles, newer.piles)]
    counts = [len(piles) for piles in kept]
    is_older = np.arange(sum(counts)) < counts[0]
    vectors = pair_vectors(np.vstack(kept))
    shares = pair_shares(vectors)
    gram = doubly_centred(mirkin_distances(vectors))
    free = shuffled_people(streams.generator("editions labels"), len(is_older), permutations)
    bins = granularity_bins(shares, GRANULARITY_BINS)
    within = shuffled_within(streams.generator("editions labels in bins"), bins, permutations)
    plain = permanova(gram, is_older, free)
    adjusted = adjusted_label_test(gram, is_older, shares, within)
    reliabilities = [
        split_half_reliability(vectors.of(part), halves, streams.generator(f"editions {name}"))
        for name, part in (("older", is_older), ("newer", ~is_older))
    ]
    labels = np.where(is_older, "a", "b")
    drawn = [
        np.bincount(
            stratified_draw(streams.generator("editions redraw", r), labels), minlength=len(labels)
        )
        for r in range(redraws)
    ]
    corrected = corrected_correlation(
        vectors, is_older, reliabilities, person_covariances(vectors), np.array(drawn)
    )
    return {
        "label_permutation": {
            "statistic": plain.sum_among,
            "pseudo_F": plain.pseudo_f,
            "r_squared": plain.r_squared,
            "p_unrestricted": plain.p_value,
            "p_adjusted": adjusted.p_value,
            "permutations": permutations,
            "n_older": counts[0],
            "n_newer": counts[1],
            "n_left_out": len(older.piles) + len(newer.piles) - sum(counts),
        },
        "reliability": {
            "older": reliabilities[0].reliability,
            "newer": reliabilities[1].reliability,
            "halves": halves,
        },
        "corrected_r": {
            "correlation": corrected.correlation,
            "corrected": corrected.corrected,
            "low": corrected.low,
            "high": corrected.high,
            "redraws": corrected.redraws,
        },
    }


def compare_partitions(older, newer):
    """Return, for each chart and tier, how far the two ways of dividing the terms agree."""
    return {
        chart: {
            tier: {
                "n_older": len(set(groups)),
                "n_newer": len(set(newer.partitions[chart][tier])),
                "adjusted_rand": adjusted_rand(groups, newer.partitions[chart][tier]),
                "adjusted_mutual_information": adjusted_mutual_information(
                    groups, newer.partitions[chart][tier]
                ),
                "variation_of_information": variation_of_information(
                    groups, newer.partitions[chart][tier]
                ),
            }
            for tier, groups in tiers.items()
        }
        for chart, tiers in older.partitions.items()
    }


def compare_drawings(older, newer, permutations, streams):
    """Return how far the trees, the orders around the circle and the planar maps agree."""
    trees = compare_trees(older.heights, newer.heights)
    shared = [term for term in older.order if term in set(newer.order)]
    angles = order_angles(shared, [term for term in newer.order if term in set(shared)])
    circle = circular_agreement(*angles, streams.generator("editions order"), permutations)
    maps = match_configurations(
        older.apart, newer.apart, permutations, streams.generator("editions maps")
    )
    return {
        "trees": {
            "cophenetic_correlation": trees.cophenetic_correlation,
            "bakers_gamma": trees.bakers_gamma,
            "robinson_foulds": trees.robinson_foulds,
            "robinson_foulds_share": trees.robinson_foulds_share,
        },
        "order": {
            "uniform_margins": circle.uniform,
            "fisher_lee": circle.fisher_lee,
            "mirrored": circle.mirrored,
            "p": circle.p_value,
            "permutations": permutations,
            "n_terms": len(shared),
        },
        "maps": {
            "procrustes_m2": maps.m_squared,
            "correlation": maps.correlation,
            "rv": maps.rv,
            "p": maps.p_value,
            "permutations": maps.permutations,
        },
    }
