"""Designs with one number of observers at every pair: fields, geometries, and what people get."""

from itertools import combinations, product

import numpy as np
import pytest
from felloe.allocation.allocating import Group, allocated, designed
from felloe.allocation.finite_field import field, prime_power
from felloe.allocation.known_designs import known_design
from felloe.ground.randomness import Streams

STREAMS = Streams(7, "brine")
# tables of balanced incomplete block designs as in Cochran & Cox, Experimental Designs (from
# memory): treatments, units a block, blocks, blocks that hold a pair
TABLE = [
    (7, 3, 7, 1),  # the Fano plane
    (9, 3, 12, 1),
    (13, 4, 13, 1),
    (16, 4, 20, 1),
    (21, 5, 21, 1),
    (25, 5, 30, 1),
    (31, 6, 31, 1),
    (7, 4, 7, 2),
    (8, 4, 14, 3),
    (13, 9, 13, 6),
    (15, 7, 15, 3),
    (57, 8, 57, 1),
    (64, 8, 72, 1),
    (73, 9, 73, 1),
    (81, 9, 90, 1),
    (91, 10, 91, 1),
]


def pairs_shown(sets, n_terms):
    """Count, one by one, who is shown both of two terms."""
    return {
        pair: sum(set(pair) <= set(own) for own in sets) for pair in combinations(range(n_terms), 2)
    }


def names(number):
    return tuple(f"p{n:03d}" for n in range(number))


def shown(people, n_terms, each, issued=None):
    group = Group(issued or {}, names(people))
    return {
        person: terms.tolist()
        for person, terms in allocated(STREAMS, "panel", group, n_terms, each).items()
    }


@pytest.mark.parametrize("q", [2, 3, 4, 5, 7, 8, 9, 16, 25])
def test_a_field_keeps_the_laws_of_a_field(q):
    plus, times = field(q).plus, field(q).times
    elements = range(q)
    for table in (plus, times):
        assert (table == table.T).all()
        some = [0, 1, 2 % q, q // 2, q - 1]
        for a, b, c in product(some, repeat=3):
            assert table[table[a, b], c] == table[a, table[b, c]]
            assert times[a, plus[b, c]] == plus[times[a, b], times[a, c]]
    assert plus[0].tolist() == times[1].tolist() == list(elements)
    assert all(sorted(row) == list(elements) for row in plus.tolist())
    assert all(sorted(row) == list(elements) for row in times[1:].tolist())  # one can divide


def test_two_and_two_is_nothing_in_the_field_of_four():
    # GF(4) = {0, 1, a, a + 1} with a a = a + 1 (any textbook of algebra); it is no arithmetic
    # modulo four
    four = field(4)
    assert np.diag(four.plus).tolist() == [0, 0, 0, 0]
    assert four.times[2, 2] == 3
    assert four.times[2, 3] == 1


@pytest.mark.parametrize("q", [0, 1, 6, 10, 12, 1000])
def test_there_is_no_field_of_another_number(q):
    with pytest.raises(ValueError, match="no field"):
        field(q)


def test_prime_powers_are_told_from_others():
    powers = [q for q in range(2, 33) if prime_power(q)]
    assert powers == [2, 3, 4, 5, 7, 8, 9, 11, 13, 16, 17, 19, 23, 25, 27, 29, 31, 32]
    assert prime_power(27) == (3, 3)


@pytest.mark.parametrize(("terms", "each", "sets", "observers"), TABLE)
def test_a_known_design_is_that_of_the_table(terms, each, sets, observers):
    design = known_design(terms, each).tolist()
    assert len(design) == sets
    assert all(len(set(own)) == each for own in design)
    assert set(pairs_shown(design, terms).values()) == {observers}


@pytest.mark.parametrize(("terms", "each"), [(8, 3), (10, 4), (36, 6), (43, 7), (111, 11)])
def test_no_design_is_claimed_where_these_geometries_give_none(terms, each):
    # planes of order 6 and 10 do not exist (Tarry 1900; Lam, Thiel & Swiercz 1989)
    assert known_design(terms, each) is None


@pytest.mark.parametrize(("terms", "each", "people", "observers"), TABLE[:11])
def test_as_many_people_as_sets_see_every_pair_equally_often(terms, each, people, observers):
    sets = shown(people, terms, each).values()
    assert set(pairs_shown(sets, terms).values()) == {observers}


def test_twice_the_people_of_the_fano_plane_see_every_pair_twice():
    sets = shown(14, 7, 3)
    assert set(pairs_shown(sets.values(), 7).values()) == {2}


@pytest.mark.parametrize("people", [1, 3, 6, 8, 10, 13, 15])
def test_any_number_of_people_sees_pairs_of_a_plane_equally_often_or_once_more(people):
    seen = pairs_shown(shown(people, 7, 3).values(), 7).values()
    assert max(seen) - min(seen) <= 1


@pytest.mark.parametrize(
    ("people", "terms", "each", "sets"), [(5, 7, 3, 7), (8, 21, 5, 21), (30, 31, 6, 31)]
)
def test_who_comes_late_completes_the_plane_that_others_began(people, terms, each, sets):
    early = shown(people, terms, each)
    issued = {f"early-{person}": np.array(own) for person, own in early.items()}
    late = shown(sets - people, terms, each, issued)
    assert set(pairs_shown([*early.values(), *late.values()], terms).values()) == {1}


def test_two_populations_are_not_given_the_same_shuffle():
    group = Group({}, names(13))
    panel, makers = (
        allocated(STREAMS, name, group, 13, 4).values() for name in ("panel", "makers")
    )
    assert {tuple(own) for own in panel} != {tuple(own) for own in makers}


def test_who_comes_late_completes_a_plane_before_another_is_begun():
    early = shown(8, 21, 5)
    issued = {f"early-{person}": np.array(own) for person, own in early.items()}
    # asked of the design alone: here the search finds as good a place
    late, _ = designed(STREAMS, "panel", [*issued.values()], 26, (21, 5))
    seen = pairs_shown([*early.values(), *(own.tolist() for own in late)], 21)
    assert set(seen.values()) == {1, 2}
