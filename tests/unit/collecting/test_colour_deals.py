"""Terms dealt for colours: every one about as often, the same by its keys, never dealt again."""

from collections import Counter

import pytest
from felloe.collecting.kit.dealing import dealt
from felloe.ground.randomness import Streams

TERMS = [f"t{number:02}" for number in range(23)]
STREAMS = Streams(7, "brine")


def people(number, start=0):
    names = ("panel", "makers")
    return {f"p{n:02}": names[n % 2] for n in range(start, start + number)}


@pytest.mark.parametrize("number", [1, 5, 12, 40])
@pytest.mark.parametrize("each", [1, 7, 22, 23, 90])
def test_within_a_population_no_term_is_dealt_more_than_once_more_often(number, each):
    found = dealt(STREAMS, people(number), {}, TERMS, each)
    assert set(found) == set(people(number))
    for own in found.values():
        assert len(own) == len(set(own)) == min(each, len(TERMS))
    for name in ("panel", "makers"):
        counts = Counter(
            term for person, own in found.items() if people(number)[person] == name for term in own
        )
        often = [counts[term] for term in TERMS]
        assert max(often) - min(often) <= 1


def test_who_comes_late_gets_what_was_dealt_least_and_nobody_is_dealt_anew():
    first = dealt(STREAMS, people(8), {}, TERMS, 7)
    late = dealt(STREAMS, people(16), first, TERMS, 7)
    assert set(late) == set(people(8, 8))
    for name in ("panel", "makers"):
        of_all = {**first, **late}
        counts = Counter(
            term for person, own in of_all.items() if people(16)[person] == name for term in own
        )
        assert max(counts.values()) - min(counts[term] for term in TERMS) <= 1


def test_the_order_of_people_and_terms_does_not_matter():
    turned = dict(reversed(people(9).items()))
    assert dealt(STREAMS, turned, {}, TERMS[::-1], 7) == dealt(STREAMS, people(9), {}, TERMS, 7)


def test_orders_differ_by_person_and_by_seed():
    found = dealt(STREAMS, people(6), {}, TERMS, len(TERMS))
    assert len(set(found.values())) == 6
    assert found != dealt(Streams(8, "brine"), people(6), {}, TERMS, len(TERMS))
