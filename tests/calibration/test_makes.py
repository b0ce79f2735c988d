"""Invented people are what their case says, whatever their make; nothing here asks the rule."""

import numpy as np
import pytest
from calibration.cases import Case, invent, two_populations
from calibration.cells import CASES, cells
from calibration.makes import HELD_OUT, MAKES
from calibration.published_sorts import HELD_OUT_SETS, SETS
from felloe.ground.people.pairs import pair_vectors, person_covariances
from felloe.ground.squares import squared

EVERY = MAKES | HELD_OUT


def drawn(make, case, seed=0):
    return two_populations(EVERY[make], case, np.random.default_rng(seed))


def numbers_of_piles(piles):
    return np.array([len(np.unique(pile)) for pile in piles])


@pytest.mark.parametrize("make", EVERY)
def test_people_and_terms_are_as_many_as_asked(make):
    piles, first = drawn(make, Case("few", (7, 12), 30))
    assert piles.shape == (19, 30)
    assert (first.sum(), (~first).sum()) == (7, 12)


@pytest.mark.parametrize("make", EVERY)
def test_the_same_random_numbers_give_the_same_people(make):
    case = Case("few", (6, 6), moved=3, lumpers=(0.5, 0.5))
    assert np.array_equal(drawn(make, case)[0], drawn(make, case)[0])


@pytest.mark.parametrize("make", EVERY)
def test_nobody_puts_all_terms_in_one_pile_or_each_in_its_own(make):
    numbers = numbers_of_piles(drawn(make, Case("some", (40, 40), lumpers=(1.0, 0.0)))[0])
    assert 2 <= numbers.min() <= numbers.max() < 50


@pytest.mark.parametrize("make", EVERY)
def test_lumpers_make_fewer_piles(make):
    piles, first = drawn(make, Case("kinds", (40, 40), lumpers=(1.0, 0.0)))
    numbers = numbers_of_piles(piles)
    assert np.median(numbers[first]) < 0.7 * np.median(numbers[~first])


@pytest.mark.parametrize("make", EVERY)
def test_careless_people_agree_less(make):
    piles, first = drawn(make, Case("noise", (40, 40), noise=(1.0, 2.0)))
    K = person_covariances(pair_vectors(piles))
    np.fill_diagonal(K, 0.0)
    agree = [K[np.ix_(group, group)].sum() for group in (first, ~first)]
    assert agree[1] < 0.8 * agree[0]


def differences(make, moved, seed):
    """Return each term's squared difference between 150 and 150 people, and who moved."""
    rng = np.random.default_rng(seed)
    invented = invent(EVERY[make], Case("moved", moved=moved), rng)
    piles, first = invented.people(rng, (150, 150))
    together = pair_vectors(piles).together
    apart = together[first].mean(axis=0) - together[~first].mean(axis=0)
    return (squared(apart, 60, diagonal=0.0) ** 2).sum(axis=1), invented.moved


@pytest.mark.parametrize("make", EVERY)
def test_moved_terms_differ_more_than_all_that_stay(make):
    # a term may by chance lose little by moving: three of four, in each of three structures
    for seed in range(3):
        sizes, moved = differences(make, 4, seed)
        assert len(moved) == 4
        assert (sizes[moved] > np.delete(sizes, moved).max()).sum() >= 3


@pytest.mark.parametrize("make", EVERY)
def test_where_no_term_moves_both_populations_share_one_structure(make):
    invented = invent(EVERY[make], Case("alike"), np.random.default_rng(0))
    assert invented.structures[0] is invented.structures[1]
    assert not len(invented.moved)


@pytest.mark.parametrize(
    ("case", "alike"),
    [
        (Case("a"), True),
        (Case("b", noise=(1.8, 1.8), lumpers=(0.5, 0.5)), True),
        (Case("c", noise=(1.0, 1.6)), False),
        (Case("d", lumpers=(0.8, 0.2)), False),
        (Case("e", moved=1), False),
        (Case("f", shift=4), False),
    ],
)
def test_populations_are_alike_where_nothing_is_varied_between_them(case, alike):
    assert case.alike == alike


def test_names_of_cells_tell_them_apart():
    names = [(cell.source, cell.name) for held in (False, True) for cell in cells(held)]
    assert len(set(names)) == len(names)
    assert len({case.name for case in CASES}) == len(CASES)


def test_what_is_held_out_is_in_no_cell_unless_it_is_asked_for():
    usual, held = ({cell.source for cell in cells(asked)} for asked in (False, True))
    assert held == {*HELD_OUT, *(one.name for one in HELD_OUT_SETS)}
    assert usual == {*MAKES, *(one.name for one in SETS)}


def test_a_run_of_a_cell_draws_the_same_people_again():
    for cell in (cells()[0], cells()[-2]):
        assert np.array_equal(cell.draw(3).piles, cell.draw(3).piles)
        assert not np.array_equal(cell.draw(3).piles, cell.draw(4).piles)


def test_published_cohorts_are_those_of_the_sources_less_faulty_sorts():
    # SOURCES.md: 85 women; 11 and 22 people; three of P6 placed a card twice or not at all
    sizes = [
        {name: len(rows) for name, rows in one.cohorts().items()} for one in (*SETS, *HELD_OUT_SETS)
    ]
    assert sizes == [{"all": 85}, {"A": 11, "B": 22}, {"A": 10, "B": 20}]


def test_random_halves_hold_everybody_at_most_once():
    kinship = [cell for cell in cells() if cell.source == SETS[0].name]
    piles = kinship[-1].draw(0).piles
    assert len(piles) == 80
    _, counts = np.unique(np.vstack([piles, SETS[0].cohorts()["all"]]), axis=0, return_counts=True)
    of_all = np.unique(SETS[0].cohorts()["all"], axis=0, return_counts=True)[1]
    assert (counts <= 2 * of_all).all()
