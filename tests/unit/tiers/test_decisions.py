"""Decisions replayed: what moves, what it costs, what is void, and that row order never matters."""

from fractions import Fraction

import numpy as np
import pytest
from felloe.ground.distances import Distances
from felloe.ground.groups.linkage import build_tree, cophenetic_correlation
from felloe.ground.groups.partition import Partition
from felloe.ground.groups.tree import Tree
from felloe.ground.ordering.circular_order import circular_order
from felloe.ground.ordering.tree import from_linkage, from_tiers
from felloe.ground.terms import DifferentTerms, Terms
from felloe.tiers.cuts import Tiers, nested_cut
from felloe.tiers.decisions import APPLIED, VOID, Decision, FitRule, replay

TERMS = Terms(f"t{place:02d}" for place in range(18))
DAY = "2026-01-01"


def chart(seed=0):
    """A random tree with five classes and nine subclasses."""
    points = np.random.default_rng(seed).random((len(TERMS), 3))
    D = np.round(np.hypot.reduce(points[:, None] - points[None], axis=2) / 2, 12)
    tree = Tree(TERMS, build_tree(D, "average"))
    return tree, nested_cut(tree, 5, 9), Distances(TERMS, D)


def decided(term, beside, day=DAY):
    return Decision(term, beside, "an invented reason", day)


def group_of(part, term):
    return part.of_terms[TERMS.index(term)]


def elsewhere(part, *terms):
    """The first term of a group that none of these is in."""
    taken = {group_of(part, term) for term in terms}
    return next(term for term in TERMS if group_of(part, term) not in taken)


def published(found):
    """The published tiers; groups that are not nested are refused."""
    return Tiers(Partition.of_ids(TERMS, found.classes), Partition.of_ids(TERMS, found.subclasses))


def where(found, term):
    place = TERMS.index(term)
    return found.classes[place], found.subclasses[place]


def test_without_decisions_the_published_chart_is_that_of_the_data():
    tree, tiers, apart = chart()
    found = replay(tree, tiers, apart, [])
    assert np.array_equal(found.tree.Z[:, 2], tree.Z[:, 2])
    assert found.classes == tiers.classes.of_terms
    assert found.subclasses == tiers.subclasses.of_terms
    assert not found.moved.any()


def test_a_tree_and_distances_of_other_terms_are_refused():
    tree, tiers, apart = chart()
    with pytest.raises(DifferentTerms, match="the tree and the distances"):
        replay(tree, tiers, apart.on(TERMS[::-1]), [])


@pytest.mark.parametrize("term", TERMS[:6])
def test_a_moved_term_joins_the_subclass_and_class_of_the_other(term):
    tree, tiers, apart = chart()
    beside = elsewhere(tiers.classes, term)
    found = replay(tree, tiers, apart, [decided(term, beside)])
    assert where(found, term) == where(found, beside)
    assert where(found, beside) == (
        group_of(tiers.classes, beside),
        group_of(tiers.subclasses, beside),
    )
    assert [one for one, moved in zip(TERMS, found.moved, strict=True) if moved] == [term]


@pytest.mark.parametrize("term", TERMS[:6])
def test_published_groups_stay_branches_of_the_published_tree(term):
    tree, tiers, apart = chart()
    moves = [decided(term, elsewhere(tiers.classes, term)), decided("t17", term, "2026-02-01")]
    found = replay(tree, tiers, apart, moves)
    parts = published(found)
    # refuses what is no branch
    kept, _ = from_tiers(found.tree.Z, parts.classes.labels, parts.subclasses.labels)
    plain = circular_order(from_linkage(found.tree.Z), apart.D).length
    assert circular_order(kept, apart.D).length <= plain


def test_the_price_is_the_change_of_the_fit_worked_out_from_both_charts():
    tree, tiers, apart = chart()
    D, classes = apart.D, tiers.classes
    one = replay(tree, tiers, apart, [decided("t02", elsewhere(classes, "t02"))])
    price = one.replayed[0]
    assert price.fit_before.cophenetic == cophenetic_correlation(tree.Z, D)
    assert price.fit_after.cophenetic == cophenetic_correlation(one.tree.Z, D)
    # these distances are no fractions: they are counted in units of 1e-9
    units = np.rint(D * 1e9).astype(int)
    for fit, drawn in ((price.fit_before, tree), (price.fit_after, one.tree)):
        order = circular_order(from_linkage(drawn.Z), D).order
        assert fit.ring == units[order, np.roll(order, -1)].sum() / 1e9
    assert price.fit_before.silhouette_class == pytest.approx(slow_silhouette(D, classes.labels))
    after = published(one).classes.labels
    assert price.fit_after.silhouette_class == pytest.approx(slow_silhouette(D, after))


def test_the_ring_of_distances_that_are_fractions_is_that_of_the_fractions():
    # shares of thirteen people, added up as fractions and not as decimals
    rng = np.random.default_rng(0)
    people = np.triu(rng.integers(1, 13, (len(TERMS), len(TERMS))), 1)
    people += people.T
    apart = Distances(TERMS, np.round(people / 13, 12))
    tree = Tree(TERMS, build_tree(apart.D, "average"))
    tiers = nested_cut(tree, 5, 9)
    found = replay(tree, tiers, apart, [decided("t02", elsewhere(tiers.classes, "t02"))])
    price = found.replayed[0]
    for fit, drawn in ((price.fit_before, tree), (price.fit_after, found.tree)):
        order = circular_order(from_linkage(drawn.Z), apart.D).order
        whole = Fraction(int(people[order, np.roll(order, -1)].sum()), 13)
        assert fit.ring == round(float(whole), 12)


def test_the_price_on_a_tree_of_ward_is_measured_on_the_square_root_of_the_distances():
    _, _, apart = chart()
    tree = Tree(TERMS, build_tree(apart.D, "ward"))
    tiers = nested_cut(tree, 5, 9)
    moves = [decided("t02", elsewhere(tiers.classes, "t02"))]
    found = replay(tree, tiers, apart, moves, FitRule(method="ward"))
    price, root = found.replayed[0], np.sqrt(apart.D)
    assert price.fit_before.cophenetic == cophenetic_correlation(tree.Z, root)
    assert price.fit_after.cophenetic == cophenetic_correlation(found.tree.Z, root)


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
    tree, tiers, apart = chart()
    moves = [
        decided(term, elsewhere(tiers.classes, term), f"2026-01-0{day}")
        for day, term in enumerate(TERMS[:3], 1)
    ]
    steps = [one for one in replay(tree, tiers, apart, moves).replayed if one.fit_after]
    changes = [one.fit_after.ring - one.fit_before.ring for one in steps]
    whole = steps[-1].fit_after.ring - steps[0].fit_before.ring
    assert sum(changes) == pytest.approx(whole, abs=1e-9)


def test_a_term_moved_beside_a_moved_term_follows_it():
    tree, tiers, apart = chart()
    target = elsewhere(tiers.classes, "t00")
    third = elsewhere(tiers.subclasses, "t00", target)
    found = replay(tree, tiers, apart, [decided(third, "t00"), decided("t00", target)])
    assert where(found, third) == where(found, "t00")
    assert where(found, third)[1] == group_of(tiers.subclasses, target)


def test_the_order_of_the_rows_changes_nothing():
    tree, tiers, apart = chart()
    moves = [decided(term, elsewhere(tiers.classes, term)) for term in TERMS[:3]]
    moves.append(decided("t09", "t00"))
    one = replay(tree, tiers, apart, moves)
    other = replay(tree, tiers, apart, moves[::-1])
    assert np.array_equal(one.tree.Z, other.tree.Z)
    assert one.subclasses == other.subclasses


def test_a_later_day_does_not_reach_back():
    # t00 joins a subclass on the first day; its neighbour there leaves on the second
    tree, tiers, apart = chart()
    target = elsewhere(tiers.classes, "t00")
    away = elsewhere(tiers.classes, "t00", target)
    moves = [decided(target, away, "2026-02-01"), decided("t00", target, "2026-01-01")]
    found = replay(tree, tiers, apart, moves)
    assert where(found, "t00")[1] == group_of(tiers.subclasses, target)
    assert where(found, target)[1] == group_of(tiers.subclasses, away)


def test_a_decision_that_the_data_have_made_is_void_and_kept():
    tree, tiers, apart = chart()
    parts = [tiers.subclasses.members(group) for group in range(9)]
    one, other = next(members for members in parts if len(members) > 1)[:2]
    found = replay(tree, tiers, apart, [decided(one, other)])
    assert [step.status for step in found.replayed] == [VOID]
    assert found.replayed[0].note == "already_together"


@pytest.mark.parametrize(
    ("term", "beside", "note"), [("gone", "t03", "term_gone"), ("t03", "gone", "beside_gone")]
)
def test_a_decision_on_a_term_that_is_gone_is_void_and_kept(term, beside, note):
    found = replay(*chart(), [decided(term, beside)])
    assert found.replayed[0].status == VOID
    assert found.replayed[0].note == note


def test_every_placement_that_differs_from_the_data_has_a_decision():
    tree, tiers, apart = chart(3)
    moves = [decided(term, elsewhere(tiers.classes, term)) for term in ("t01", "t05", "t08")]
    found = replay(tree, tiers, apart, moves)
    applied = {one.decision.term for one in found.replayed if one.status == APPLIED}
    assert {term for term, moved in zip(TERMS, found.moved, strict=True) if moved} == applied
