"""Decisions replayed: what moves, what it costs, what is void, and that row order never matters."""

import numpy as np
import pytest
from felloe.ground.linkage import build_tree, cophenetic_correlation, cut
from felloe.ground.ordering.circular_order import circular_order
from felloe.ground.ordering.tree import from_linkage, from_tiers
from felloe.tiers.cuts import check_nested
from felloe.tiers.decisions import APPLIED, VOID, Decision, replay

N = 18
DAY = "2026-01-01"


def chart(seed=0):
    """A random tree with five classes and nine subclasses."""
    points = np.random.default_rng(seed).random((N, 3))
    D = np.round(np.hypot.reduce(points[:, None] - points[None], axis=2) / 2, 12)
    Z = build_tree(D, "average")
    return Z, cut(Z, 5), cut(Z, 9), D


def elsewhere(labels, term):
    """The first term of another group."""
    return int(np.flatnonzero(labels != labels[term])[0])


def test_without_decisions_the_published_chart_is_that_of_the_data():
    Z, classes, subclasses, D = chart()
    found = replay(Z, classes, subclasses, D, [])
    assert np.array_equal(found.Z[:, 2], Z[:, 2])
    assert np.array_equal(found.classes, classes)
    assert np.array_equal(found.subclasses, subclasses)
    assert not found.moved.any()


@pytest.mark.parametrize("term", range(6))
def test_a_moved_term_joins_the_subclass_and_class_of_the_other(term):
    Z, classes, subclasses, D = chart()
    beside = elsewhere(classes, term)
    found = replay(Z, classes, subclasses, D, [Decision(term, beside, DAY)])
    assert found.subclasses[term] == subclasses[beside]
    assert found.classes[term] == classes[beside]
    assert np.flatnonzero(found.moved).tolist() == [term]


@pytest.mark.parametrize("term", range(6))
def test_published_groups_stay_branches_of_the_published_tree(term):
    Z, classes, subclasses, D = chart()
    moves = [Decision(term, elsewhere(classes, term), DAY), Decision(17, term, "2026-02-01")]
    found = replay(Z, classes, subclasses, D, moves)
    check_nested(found.classes, found.subclasses)
    tree, _ = from_tiers(found.Z, found.classes, found.subclasses)  # refuses what is no branch
    assert circular_order(tree, D).length <= circular_order(from_linkage(found.Z), D).length


def test_the_price_is_the_change_of_the_fit_worked_out_from_both_charts():
    Z, classes, subclasses, D = chart()
    one = replay(Z, classes, subclasses, D, [Decision(2, elsewhere(classes, 2), DAY)])
    price = one.replayed[0]
    assert price.fit_before.cophenetic == cophenetic_correlation(Z, D)
    assert price.fit_after.cophenetic == cophenetic_correlation(one.Z, D)
    assert price.fit_before.ring == circular_order(from_linkage(Z), D).length
    assert price.fit_after.ring == circular_order(from_linkage(one.Z), D).length
    assert price.fit_before.silhouette_class == pytest.approx(slow_silhouette(D, classes))
    assert price.fit_after.silhouette_class == pytest.approx(slow_silhouette(D, one.classes))


def slow_silhouette(D, labels):
    """Rousseeuw (1987), term by term."""
    widths = []
    for i in range(len(D)):
        own = [D[i, j] for j in range(len(D)) if labels[j] == labels[i] and j != i]
        if not own:
            widths.append(0.0)
            continue
        a = np.mean(own)
        b = min(D[i, labels == k].mean() for k in set(labels.tolist()) - {labels[i]})
        widths.append((b - a) / max(a, b))
    return float(np.mean(widths))


def test_the_prices_of_a_chain_add_up_to_the_whole_change():
    Z, classes, subclasses, D = chart()
    moves = [Decision(t, elsewhere(classes, t), f"2026-01-0{t + 1}") for t in range(3)]
    steps = [one for one in replay(Z, classes, subclasses, D, moves).replayed if one.fit_after]
    changes = [one.fit_after.ring - one.fit_before.ring for one in steps]
    whole = steps[-1].fit_after.ring - steps[0].fit_before.ring
    assert sum(changes) == pytest.approx(whole, abs=1e-9)


def test_a_term_moved_beside_a_moved_term_follows_it():
    Z, classes, subclasses, D = chart()
    target = elsewhere(classes, 0)
    third = next(i for i in range(1, N) if subclasses[i] not in (subclasses[0], subclasses[target]))
    moves = [Decision(third, 0, DAY), Decision(0, target, DAY)]
    found = replay(Z, classes, subclasses, D, moves)
    assert found.subclasses[third] == found.subclasses[0] == subclasses[target]


def test_the_order_of_the_rows_changes_nothing():
    Z, classes, subclasses, D = chart()
    moves = [Decision(t, elsewhere(classes, t), DAY) for t in range(3)] + [Decision(9, 0, DAY)]
    one = replay(Z, classes, subclasses, D, moves)
    other = replay(Z, classes, subclasses, D, moves[::-1])
    assert np.array_equal(one.Z, other.Z)
    assert np.array_equal(one.subclasses, other.subclasses)


def test_a_later_day_does_not_reach_back():
    # 0 joins a subclass on the first day; its neighbour there leaves on the second
    Z, classes, subclasses, D = chart()
    target = elsewhere(classes, 0)
    away = next(i for i in range(N) if classes[i] not in (classes[0], classes[target]))
    moves = [Decision(target, away, "2026-02-01"), Decision(0, target, "2026-01-01")]
    found = replay(Z, classes, subclasses, D, moves)
    assert found.subclasses[0] == subclasses[target]
    assert found.subclasses[target] == subclasses[away]


def test_a_decision_that_the_data_have_made_is_void_and_kept():
    Z, classes, subclasses, D = chart()
    label = next(k for k in range(9) if (subclasses == k).sum() > 1)
    one, other = np.flatnonzero(subclasses == label)[:2].tolist()
    found = replay(Z, classes, subclasses, D, [Decision(one, other, DAY)])
    assert [step.status for step in found.replayed] == [VOID]
    assert "already" in found.replayed[0].note


@pytest.mark.parametrize(("term", "beside"), [(-1, 3), (3, -1)])
def test_a_decision_on_a_term_that_is_gone_is_void_and_kept(term, beside):
    found = replay(*chart(), [Decision(term, beside, DAY)])
    assert found.replayed[0].status == VOID
    assert "no longer in the study" in found.replayed[0].note


def test_every_placement_that_differs_from_the_data_has_a_decision():
    Z, classes, subclasses, D = chart(3)
    moves = [Decision(t, elsewhere(classes, t), DAY) for t in (1, 5, 8)]
    found = replay(Z, classes, subclasses, D, moves)
    decided = {moves[one.number].term for one in found.replayed if one.status == APPLIED}
    assert set(np.flatnonzero(found.moved).tolist()) == decided
