"""From piles to counts to distances."""

import numpy as np
import pytest
from felloe.ground.people.counts import count_cooccurrence, similarity
from felloe.ground.people.sorts import UNPLACED
from sorting_examples import dissimilarity


def random_piles(seed, people=12, terms=9, missing=0.1):
    rng = np.random.default_rng(seed)
    piles = rng.integers(0, 4, size=(people, terms))
    piles[rng.random(piles.shape) < missing] = UNPLACED
    return piles


def counted_slowly(piles):
    people, terms = piles.shape
    together = np.zeros((terms, terms), dtype=int)
    both = np.zeros((terms, terms), dtype=int)
    for g in range(people):
        for i in range(terms):
            for j in range(terms):
                if piles[g, i] != UNPLACED and piles[g, j] != UNPLACED:
                    both[i, j] += 1
                    together[i, j] += piles[g, i] == piles[g, j]
    return together, both


@pytest.mark.parametrize("seed", range(5))
def test_counts_equal_the_definition(seed):
    piles = random_piles(seed)
    together, both = count_cooccurrence(piles)
    slow_together, slow_both = counted_slowly(piles)
    assert (together == slow_together).all()
    assert (both == slow_both).all()


def test_counts_ignore_the_numbering_of_piles():
    piles = random_piles(1)
    renumbered = np.where(piles == UNPLACED, UNPLACED, 7 - piles)
    for before, after in zip(count_cooccurrence(piles), count_cooccurrence(renumbered)):
        assert (before == after).all()


def test_a_term_that_was_not_placed_is_missing_and_not_apart():
    piles = np.array([[0, 0, 1], [0, UNPLACED, 1]])
    assert dissimilarity(*count_cooccurrence(piles))[0, 1] == 0.0


def test_counts_of_the_published_kinship_sorts(reference):
    piles, terms = reference.kinship_piles()
    together, both = count_cooccurrence(piles)
    published = reference.square("values/kinship_women_single_same_pile_counts.csv", terms)
    assert (together == published).all()
    assert (both == 85).all()


def test_a_pair_that_nobody_placed_together_is_refused():
    piles = np.array([[0, UNPLACED], [UNPLACED, 0]])
    with pytest.raises(ValueError, match="never placed by the same participant"):
        similarity(*count_cooccurrence(piles))


@pytest.mark.parametrize("size", [2, 7, 30])
def test_a_one_pile_person_shrinks_all_distances_alike(size):
    # D -> D n / (n + 1): arithmetic of the definition
    piles = random_piles(3, people=size, missing=0)
    before = dissimilarity(*count_cooccurrence(piles))
    after = dissimilarity(*count_cooccurrence(np.vstack([piles, np.zeros_like(piles[:1])])))
    assert np.allclose(after, before * size / (size + 1), atol=1e-11)


def test_an_all_apart_person_moves_all_distances_alike():
    piles = random_piles(3, missing=0)
    n = len(piles)
    before = dissimilarity(*count_cooccurrence(piles))
    apart = np.arange(piles.shape[1])[None]
    after = dissimilarity(*count_cooccurrence(np.vstack([piles, apart])))
    off = ~np.eye(piles.shape[1], dtype=bool)
    assert np.allclose(after[off], ((n * before + 1) / (n + 1))[off], atol=1e-11)


def test_similarity_of_complete_sorts_is_positive_semidefinite_and_distances_are_a_metric():
    piles = random_piles(8, people=30, terms=12, missing=0)
    apart = dissimilarity(*count_cooccurrence(piles))
    assert np.linalg.eigvalsh(1 - apart).min() >= -1e-9
    assert (apart[:, :, None] <= apart[:, None, :] + apart.T[None, :, :] + 1e-12).all()
