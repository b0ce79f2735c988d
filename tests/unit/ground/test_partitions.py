"""Pairs of terms and people, against slow loops and NumPy."""

import numpy as np
import pytest
from felloe.ground.people.pairs import (
    mirkin_distances,
    one_culture,
    pair_shares,
    pair_vectors,
    person_covariances,
)
from felloe.ground.squares import doubly_centred


def random_piles(seed, n_people=9, n_terms=12, unplaced=0.0):
    rng = np.random.default_rng(seed)
    piles = rng.integers(4, size=(n_people, n_terms))
    piles[rng.random(piles.shape) < unplaced] = -1
    return piles


def disagreement(a, b):
    """Pairs on which two people disagree, scaled from the pairs both placed to all pairs."""
    shared = differ = 0
    for i in range(len(a)):
        for j in range(i + 1, len(a)):
            if min(a[i], a[j], b[i], b[j]) < 0:
                continue
            shared += 1
            differ += (a[i] == a[j]) != (b[i] == b[j])
    return differ / shared * len(a) * (len(a) - 1) / 2


@pytest.mark.parametrize("unplaced", [0.0, 0.15])
@pytest.mark.parametrize("seed", range(3))
def test_disagreement_between_people_equals_the_definition(seed, unplaced):
    piles = random_piles(seed, unplaced=unplaced)
    found = mirkin_distances(pair_vectors(piles))
    for g in range(len(piles)):
        for h in range(len(piles)):
            assert found[g, h] == pytest.approx(disagreement(piles[g], piles[h]), abs=1e-9)


def test_disagreement_ignores_the_numbering_of_piles():
    piles = random_piles(1)
    renumbered = np.array([7, 3, 9, 5])[piles]
    assert np.array_equal(
        mirkin_distances(pair_vectors(piles)), mirkin_distances(pair_vectors(renumbered))
    )


def test_people_without_a_common_pair_are_refused():
    piles = np.array([[0, 0, -1, -1], [-1, -1, 0, 0]])
    with pytest.raises(ValueError, match="no pair of terms in common"):
        mirkin_distances(pair_vectors(piles))


def test_share_of_pairs_together_of_piles_of_10_5_5_3_and_1():
    # by hand: (90 + 20 + 20 + 6) / (24 * 23) = 0.24638
    piles = np.repeat(np.arange(5), [10, 5, 5, 3, 1])[None, :]
    assert pair_shares(pair_vectors(piles))[0] == pytest.approx(136 / 552, abs=1e-15)


def test_share_of_pairs_together_counts_only_placed_pairs():
    assert pair_shares(pair_vectors(np.array([[0, 0, 1, -1]])))[0] == pytest.approx(1 / 3)


def test_somebody_who_placed_one_term_is_refused():
    with pytest.raises(ValueError, match="fewer than two"):
        pair_shares(pair_vectors(np.array([[0, -1, -1]])))


def test_inner_products_give_the_distances_back():
    squared = mirkin_distances(pair_vectors(random_piles(2)))
    gram = doubly_centred(squared)
    lengths = np.diagonal(gram)
    assert lengths[:, None] + lengths[None, :] - 2 * gram == pytest.approx(squared, abs=1e-9)
    assert gram.sum(axis=0) == pytest.approx(np.zeros(len(gram)), abs=1e-9)


def test_covariances_of_complete_sorts_are_numpys():
    vectors = pair_vectors(random_piles(3))
    assert person_covariances(vectors) == pytest.approx(
        np.cov(vectors.together, bias=True), abs=1e-12
    )


def test_covariances_use_the_pairs_that_both_placed():
    vectors = pair_vectors(random_piles(4, unplaced=0.2))
    found = person_covariances(vectors)
    shared = (vectors.placed[0] > 0) & (vectors.placed[1] > 0)
    expected = np.cov(vectors.together[:2, shared], bias=True)[0, 1]
    assert found[0, 1] == pytest.approx(expected, abs=1e-12)


def test_eigenvalue_ratio_of_85_women_is_that_of_numpys_correlations(reference):
    vectors = pair_vectors(reference.kinship_piles()[0])
    values = np.linalg.eigvalsh(np.corrcoef(vectors.together))
    found = one_culture(person_covariances(vectors))
    assert found.ratio == pytest.approx(values[-1] / values[-2], abs=1e-6)


def test_two_opposed_cultures_load_on_the_second_factor_with_opposite_signs():
    by_colour, by_shape = [0, 0, 0, 0, 1, 1, 2, 2], [0, 0, 0, 0, 1, 2, 1, 2]
    piles = np.array([by_colour] * 4 + [by_shape] * 4)
    found = one_culture(person_covariances(pair_vectors(piles)))
    assert (found.first_loadings > 0).all()
    assert np.sign(found.second_loadings[:4]).tolist() == [1.0] * 4
    assert np.sign(found.second_loadings[4:]).tolist() == [-1.0] * 4
