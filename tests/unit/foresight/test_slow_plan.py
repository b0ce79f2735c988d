"""A plan beside the same study simulated once more: plain loops, no line of the library."""

import random
from itertools import combinations
from math import comb, sqrt

import numpy as np
import pytest
from felloe.foresight.assumptions import Habits, even_truth
from felloe.foresight.plan import Assumed, column
from felloe.ground.randomness import Streams
from scipy.cluster.hierarchy import cut_tree, linkage

CLASSES, WITHIN, TERMS, PEOPLE, STUDIES = 4, 2, 24, 20, 60
COARSE, ASTRAY, PRIOR = 0.4, 0.35, 1.0
SUBCLASS = [term * CLASSES * WITHIN // TERMS for term in range(TERMS)]
CLASS = [one // WITHIN for one in SUBCLASS]
PAIRS = list(combinations(range(TERMS), 2))


def hands(draw, each):
    """Deal the lexicon again and again, shuffled, so that every term is shown equally often."""
    pack, dealt = [], []
    for _ in range(PEOPLE):
        hand = []
        while len(hand) < each:
            if not pack:
                pack = draw.sample(range(TERMS), TERMS)
            hand.append(next(term for term in pack if term not in hand))
            pack.remove(hand[-1])
        dealt.append(hand)
    return dealt


def person(draw, hand):
    group = CLASS if draw.random() < COARSE else SUBCLASS
    piles = sorted({group[term] for term in hand})
    return {term: draw.choice(piles) if draw.random() < ASTRAY else group[term] for term in hand}


def shares(people, whole):
    together, both = [0] * len(PAIRS), [0] * len(PAIRS)
    for own in people:
        for place, (i, j) in enumerate(PAIRS):
            if i in own and j in own:
                both[place] += 1
                together[place] += own[i] == own[j]
    if whole:
        return [one / seen for one, seen in zip(together, both)]
    mean = sum(together) / sum(both)
    return [(one + PRIOR * mean) / (seen + PRIOR) for one, seen in zip(together, both)]


def correlation(one, other):
    a, b = sum(one) / len(one), sum(other) / len(other)
    product = sum((x - a) * (y - b) for x, y in zip(one, other))
    return product / sqrt(sum((x - a) ** 2 for x in one) * sum((y - b) ** 2 for y in other))


def rand(one, other):
    """Adjusted Rand index by counting pairs (Hubert and Arabie 1985, from memory)."""
    same = [(one[i] == one[j], other[i] == other[j]) for i, j in PAIRS]
    both, first, second = (
        sum(a and b for a, b in same), sum(a for a, _ in same), sum(b for _, b in same)
    )  # fmt: skip
    chance = first * second / comb(TERMS, 2)
    return (both - chance) / ((first + second) / 2 - chance)


def study(draw, each):
    people = [person(draw, hand) for hand in hands(draw, each)]
    order = draw.sample(people, PEOPLE)
    whole = each == TERMS
    halves = correlation(shares(order[: PEOPLE // 2], whole), shares(order[PEOPLE // 2 :], whole))
    tree = linkage([1 - share for share in shares(people, whole)], "average")
    found = [cut_tree(tree, number)[:, 0].tolist() for number in (CLASSES, CLASSES * WITHIN)]
    return 2 * halves / (1 + halves), rand(found[0], CLASS), rand(found[1], SUBCLASS)


@pytest.mark.parametrize("each", [24, 12])
def test_a_plan_says_what_plain_loops_say(each):
    draw = random.Random(9)
    truth, habits = even_truth(TERMS, CLASSES, WITHIN), Habits(COARSE, ASTRAY)
    assumed = Assumed(truth, habits, 0.5, PRIOR, "average", 0.05, STUDIES)
    (cell,) = column(assumed, each, [PEOPLE], Streams(3, "slow"))
    slow = np.array([study(draw, each) for _ in range(STUDIES)])
    for name, told in zip(("reliability", "classes", "subclasses"), slow.T, strict=True):
        found = getattr(cell, name)
        error = sqrt(found.error**2 + told.var(ddof=1) / STUDIES)
        assert 0.1 < found.mean < 0.99  # neither floor nor ceiling, where anything would agree
        assert abs(found.mean - told.mean()) < 3 * error, name
