"""Prices of moves: bit for bit those of the same decision appended last; what is said of them."""

import numpy as np
import pytest
from felloe.ground.groups.decided import leads_to
from felloe.tiers.decisions import FitRule, replayed_chart
from felloe.tiers.move_fits import MovedHeights, MoveFits
from felloe.tiers.placement import FIRM
from felloe.tiers.prices import PriceSettings, open_terms, possible_moves
from price_example import (
    EVERY,
    LINKAGES,
    all_alike,
    all_moves,
    appended,
    charted,
    kinship,
    named,
    points,
    sorted_by_few,
    unlike_distances,
)

FREEDOMS = ["tree", "tiers"]


def check(example, at_least=1, every=1):
    """Every price is the plain one, to the last bit."""
    found = all_moves(example)
    assert len(found) >= at_least
    for move, price in found[::every]:
        plain = appended(example, move)
        assert all(np.array_equal(price[name], plain[name], equal_nan=True) for name in plain), (
            move,
            price,
            plain,
        )
    return found


@pytest.mark.parametrize("method", LINKAGES)
@pytest.mark.parametrize("freedom", FREEDOMS)
@pytest.mark.parametrize("make", [sorted_by_few, points, unlike_distances])
@pytest.mark.parametrize("seed", range(4))
def test_a_price_is_that_of_the_decision_appended_last(make, seed, freedom, method):
    distances = make(seed, (5, 13 if freedom == "tiers" else 20))
    n = len(distances.terms)
    classes = 2 + seed % 2
    numbers = classes, min(n, classes + 1 + seed)
    check(charted(distances, method, numbers, FitRule(freedom, method), seed % 3, seed))


@pytest.mark.parametrize("method", LINKAGES)
@pytest.mark.parametrize("source", ["women_single", "men_first_of_two"])
def test_prices_on_published_sorts_of_kinship_terms(source, method):
    check(kinship(source, method, (3, 6), n_decisions=2, seed=5), at_least=15 * 4)


def test_prices_on_published_sorts_where_only_tiers_are_kept():
    rule = FitRule("tiers", "average")
    check(kinship("women_first_of_two", "average", (3, 7), rule=rule, n_decisions=1), every=5)


@pytest.mark.parametrize("freedom", FREEDOMS)
@pytest.mark.parametrize("apart", [0.0, 1 / 3, 1.0])
@pytest.mark.parametrize("numbers", [(2, 2), (2, 4), (6, 7), (7, 7)])
def test_prices_where_everything_ties(numbers, apart, freedom):
    # (7, 7): every term is a class; (2, 2): every class is one subclass
    check(charted(all_alike(7, apart), "average", numbers, FitRule(freedom, "average")))


@pytest.mark.parametrize("freedom", FREEDOMS)
@pytest.mark.parametrize("n", [2, 3, 4])
def test_prices_of_as_few_terms_as_there_can_be(n, freedom):
    found = check(charted(points(0, (n, n + 1)), "average", (2, n), FitRule(freedom, "average")))
    if n == 2:
        assert all(np.isnan(price["silhouette_class"]) for _, price in found)


def test_prices_in_subclasses_around_the_most_children_whose_orders_are_tried(monkeypatch):
    # one subclass of four and one of five terms: a move makes the one too large to try all orders
    # of its terms, and the other small enough
    monkeypatch.setattr("felloe.ground.ordering.tree.MOST_CHILDREN", 4)
    place = np.concatenate([np.arange(4) * 0.01, 5 + np.arange(5) * 0.011, [9.0]]) / 10
    distances = named(abs(place[:, None] - place[None]))
    check(charted(distances, "average", (2, 3), FitRule("tiers", "average")))
    check(charted(points(1, (14, 15)), "average", (6, 9), FitRule("tiers", "average")))


@pytest.mark.parametrize("seed", range(3))
def test_prices_on_a_chain(seed):
    distances = points(seed, (25, 40))
    check(charted(distances, "single", (3, 9), n_decisions=3, seed=seed), every=3)


def test_prices_of_a_hundred_terms():
    check(charted(points(9, (100, 101)), "average", (9, 27), n_decisions=4), every=97)


def test_a_chart_is_not_changed_by_being_priced():
    example = sorted_by_few(3), "average", (2, 4)
    chart = replayed_chart(*charted(*example, n_decisions=1))
    before = chart.fit(), chart.classes.copy(), chart.growing.tree().Z.copy()
    fits = MoveFits(chart)
    labels = chart.partitions()[1].labels
    for place in range(len(chart.terms)):
        for number in {*labels.tolist()} - {int(labels[place])}:
            fits.after(place, number)
    assert chart.fit() == before[0]
    assert chart.classes == before[1]
    assert np.array_equal(chart.growing.tree().Z, before[2])


def test_correlations_near_the_edge_of_a_rounded_number_are_worked_out_in_full(monkeypatch):
    monkeypatch.setattr("felloe.tiers.move_fits.EDGE", 1.0)  # everything is near the edge then
    asked = []
    in_full = MovedHeights._in_full
    monkeypatch.setattr(MovedHeights, "_in_full", lambda *given: asked.append(1) or in_full(*given))
    found = check(charted(points(2), "average", (3, 6)))
    assert len(asked) == len(found)


def test_a_subclass_is_nearer_the_more_people_put_the_term_with_its_terms():
    example = kinship("women_single", "average", (3, 6))
    chart = replayed_chart(*example)
    S, labels = 1.0 - chart.D, chart.partitions()[1].labels
    of_terms = {}
    for move, _ in all_moves(example):
        of_terms.setdefault(move.term, []).append(move)
        members = [place for place in range(15) if labels[place] == move.subclass]
        plain = np.mean([S[move.place, other] for other in members])
        assert move.similarity == pytest.approx(plain, abs=1e-12)
    for term, moves in of_terms.items():
        assert [move.rank for move in moves] == list(range(1, 6))
        similar = [move.similarity for move in moves]
        assert similar == sorted(similar, reverse=True)
        assert labels[chart.terms.index(term)] not in {move.subclass for move in moves}


def test_firm_terms_have_so_many_subclasses_and_terms_in_doubt_all_of_them():
    tree, tiers, distances, decisions, rule = kinship("women_single", "average", (3, 8))
    chart = replayed_chart(tree, tiers, distances, decisions, rule)
    status = [FIRM] * 14 + ["doubtful"]
    in_full = open_terms(chart, tiers, status)
    assert in_full == {tree.terms[14]}
    moves = list(possible_moves(chart, PriceSettings(2, 15), in_full, {}))
    for place, term in enumerate(tree.terms):
        assert len([move for move in moves if move.term == term]) == (7 if place == 14 else 2)


def test_in_a_large_lexicon_only_terms_in_doubt_are_priced():
    chart = replayed_chart(*kinship("women_single", "average", (3, 8)))
    moves = list(possible_moves(chart, PriceSettings(2, 14), {chart.terms[3]}, {}))
    assert {move.term for move in moves} == {chart.terms[3]}
    assert len(moves) == 7


def test_moved_terms_are_open_whatever_the_data_say_of_them():
    example = kinship("women_single", "average", (3, 6), n_decisions=2, seed=5)
    moved = {one.term for one in example[3]}
    chart = replayed_chart(*example)
    assert open_terms(chart, example[1], [FIRM] * 15) <= moved
    assert open_terms(chart, example[1], [FIRM] * 15)


def test_what_a_term_leaves_empty_and_earlier_decisions_are_said():
    example = charted(all_alike(5, 1.0), "average", (3, 4))
    chart = replayed_chart(*example)
    classes, subclasses = chart.partitions()
    decided = {chart.terms[0]: chart.terms[4]}
    for move in possible_moves(chart, EVERY, (), decided):
        alone = [
            (part.labels == part.labels[move.place]).sum() == 1 for part in (classes, subclasses)
        ]
        assert ("empties_class" in move.notes) == (alone[0] and alone[1])
        assert ("empties_subclass" in move.notes) == (alone[1] and not alone[0])
        assert ("replaces_decision" in move.notes) == (move.term == chart.terms[0])


def test_the_term_named_is_one_that_nobody_decided_on_where_there_is_one():
    chart = replayed_chart(*charted(all_alike(6, 1.0), "average", (2, 2)))
    labels = chart.partitions()[1].labels
    pair = [chart.terms[place] for place in np.flatnonzero(labels == 0)]
    lone = chart.terms[int(np.argmax(labels == 1))]
    (move,) = [m for m in possible_moves(chart, EVERY, (), {pair[0]: lone}) if m.term == lone]
    assert move.beside == pair[1]
    assert move.notes[-1:] != ("decided_in_a_ring",)
    back = dict.fromkeys(pair, lone)
    (move,) = [m for m in possible_moves(chart, EVERY, (), back) if m.term == lone]
    assert move.notes[-1] == "decided_in_a_ring"


def test_decisions_are_followed_to_their_end():
    decided = {"a": "b", "b": "c", "x": "y", "y": "x"}
    assert leads_to("a", "c", decided)
    assert not leads_to("a", "d", decided)
    assert not leads_to("x", "c", decided)
