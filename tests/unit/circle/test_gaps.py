"""Gaps, sectors and pose of a ring: sums, grades, monotone gaps, canonical and older poses."""

import numpy as np
import pytest
from felloe.circle.ring.gaps import CLASS, SAME, SUBCLASS, gap_rule, grades_around, place_ring
from felloe.circle.ring.layout import OuterRing, lay_out
from felloe.circle.ring.pose import canonical_pose, pose_against
from felloe.ground.distances import Distances
from felloe.ground.groups.linkage import build_tree
from felloe.ground.groups.tree import Tree
from felloe.ground.ordering.circular_order import circular_order
from felloe.ground.ordering.tree import from_linkage
from felloe.ground.terms import DifferentTerms, Terms


def case(seed, n=24, classes=4, subclasses=9, absorbed=(), previous=None, budget=60.0):
    """A random tree laid out as a ring."""
    rng = np.random.default_rng(seed)
    points = rng.random((n, 3))
    D = np.hypot.reduce(points[:, None] - points[None], axis=2) / 2
    terms = Terms(f"t{i:02d}" for i in range(n))
    tree = Tree(terms, build_tree(D, "average"))
    groups = tree.cut(classes).of_terms, tree.cut(subclasses).of_terms
    whole = OuterRing(tree, Distances(terms, np.round(D, 12)), *groups, np.ones(n))
    outer = whole.without({f"t{i:02d}" for i in absorbed})
    order = circular_order(from_linkage(outer.tree.Z), outer.distances.D).order
    return outer, lay_out(outer, order, budget, 3.0, previous)


@pytest.mark.parametrize("seed", range(8))
def test_sectors_and_gaps_add_up_to_the_circle(seed):
    _, layout = case(seed)
    ring = layout.ring
    assert abs((ring.ends - ring.starts).sum() + ring.gaps.sum() - 360.0) < 1e-9


@pytest.mark.parametrize("seed", range(8))
def test_every_sector_begins_where_the_gap_before_it_ends(seed):
    ring = case(seed)[1].ring
    assert ring.starts[1:] == pytest.approx(ring.ends[:-1] + ring.gaps[:-1], abs=1e-9)
    assert ring.starts[0] + 360.0 == pytest.approx(ring.ends[-1] + ring.gaps[-1], abs=1e-9)


@pytest.mark.parametrize("seed", range(8))
def test_no_gap_inside_a_class_is_as_wide_as_one_between_classes(seed):
    layout = case(seed)[1]
    gaps, grades = layout.ring.gaps, layout.grades
    assert gaps[grades != CLASS].max() < gaps[grades == CLASS].min()


@pytest.mark.parametrize("seed", range(8))
def test_three_grades_of_gaps_appear(seed):
    layout = case(seed)[1]
    gaps, grades = layout.ring.gaps, layout.grades
    assert (gaps[grades == SAME] == 0).all()
    assert gaps[grades == SUBCLASS].min() > 0.3
    assert set(grades.tolist()) == {SAME, SUBCLASS, CLASS}


@pytest.mark.parametrize("seed", range(8))
def test_gaps_never_fall_where_joining_heights_rise(seed):
    layout = case(seed)[1]
    order = np.lexsort((layout.ring.gaps, layout.heights))
    assert (np.diff(layout.ring.gaps[order]) >= -1e-9).all()


@pytest.mark.parametrize("seed", range(4))
def test_the_height_to_the_next_term_is_where_the_tree_joins_them(seed):
    outer, layout = case(seed)
    joined = outer.tree.cophenetic().D
    for place, height in enumerate(layout.heights):
        one, other = layout.order[place], layout.order[(place + 1) % len(layout.order)]
        assert height == joined[one, other]


def test_the_gaps_use_the_budget():
    assert case(0, budget=48.0)[1].ring.gaps.sum() == pytest.approx(48.0, abs=1e-9)


def test_a_ring_of_one_group_has_no_gaps():
    ring = place_ring(np.ones(5), np.zeros(5), 60.0)
    assert (ring.ends - ring.starts) == pytest.approx(np.full(5, 72.0))


def test_sectors_are_as_wide_as_asked():
    ring = place_ring([1, 2, 1], [1, 1, 1], 60.0)
    assert (ring.ends - ring.starts) == pytest.approx([75, 150, 75])


def test_the_top_is_the_middle_of_the_gap_after_the_last_term():
    ring = case(2)[1].ring
    assert ring.starts[0] == pytest.approx(ring.gaps[-1] / 2.0)


def test_a_class_gap_that_could_be_taken_for_another_is_refused():
    with pytest.raises(ValueError, match="units or more"):
        gap_rule(np.zeros((2, 2)), [0, 1], [0, 1], 1.5)


def test_grades_tell_class_from_subclass_around_the_corner_too():
    grades = grades_around(["a", "a", "a", "b"], ["a", "a", "c", "b"])
    assert grades.tolist() == [SAME, SUBCLASS, CLASS, CLASS]


@pytest.mark.parametrize("seed", range(6))
def test_absorbed_terms_leave_the_ring_and_no_other_term_does(seed):
    outer, layout = case(seed, absorbed=(3, 7))
    names = sorted(outer.terms[i] for i in layout.order)
    assert names == [f"t{i:02d}" for i in range(24) if i not in (3, 7)]


def test_groups_keep_their_names_when_the_term_they_are_named_after_leaves_the_ring():
    outer, _ = case(0)
    named = outer.classes[0]
    assert named == outer.terms[0]
    assert named in outer.without({named}).classes


def test_a_ring_of_a_tree_and_of_distances_of_other_terms_is_refused():
    outer, _ = case(0)
    other = outer.distances.on(outer.terms[::-1])
    with pytest.raises(DifferentTerms, match="the tree and the distances"):
        OuterRing(outer.tree, other, outer.classes, outer.subclasses, outer.widths)


@pytest.mark.parametrize("seed", range(6))
def test_every_class_and_subclass_is_one_run_of_the_ring(seed):
    outer, layout = case(seed, absorbed=(3, 7))
    for names in (outer.classes, outer.subclasses):
        around = np.array(names)[layout.order]
        assert (around != np.roll(around, 1)).sum() == len(set(names))


@pytest.mark.parametrize("turn", range(5))
@pytest.mark.parametrize("mirrored", [False, True])
def test_the_canonical_pose_forgets_rotation_and_reflection(turn, mirrored):
    terms, classes = list("acbedf"), ["a", "a", "b", "b", "d", "d"]
    order = list(range(6))[:: -1 if mirrored else 1]
    order = order[turn:] + order[:turn]
    posed = canonical_pose([terms[i] for i in order], [classes[i] for i in order])
    assert [terms[order[i]] for i in posed.order] == list("acbedf")


def test_the_canonical_pose_of_two_classes_begins_with_the_smaller_term():
    posed = canonical_pose(["b", "a", "d", "c"], ["a", "a", "c", "c"])
    assert [("b", "a", "d", "c")[i] for i in posed.order] == ["a", "b", "c", "d"]


@pytest.mark.parametrize("seed", range(6))
def test_the_pose_against_an_older_edition_has_the_least_displacement(seed):
    # slow: every boundary at the top, in both directions
    rng = np.random.default_rng(seed)
    outer, plain = case(seed)
    older = {term: float(rng.random() * 360) for term in outer.terms[::2]}
    _, posed = case(seed, previous=older)

    def displacement(order):
        layout = lay_as(outer, order)
        apart = [
            abs((middle - older[outer.terms[i]] + 180) % 360 - 180)
            for i, middle in zip(order, layout.middles)
            if outer.terms[i] in older
        ]
        return float(np.mean(apart))

    circle, n = plain.order.tolist(), len(plain.order)
    tried = [displacement(one[k:] + one[:k]) for one in (circle, circle[::-1]) for k in range(n)]
    assert posed.pose.displacement == pytest.approx(min(tried), abs=1e-6)
    assert displacement(posed.order.tolist()) == pytest.approx(min(tried), abs=1e-6)


def lay_as(outer, order):
    """The angles of a ring read in a given order, by definition."""
    joined = outer.tree.cophenetic().D
    rule = gap_rule(joined, outer.classes, outer.subclasses, 3.0)
    order = np.array(order)
    grades = grades_around([outer.classes[i] for i in order], [outer.subclasses[i] for i in order])
    units = rule.units(joined[order, np.roll(order, -1)], grades)
    return place_ring(np.ones(len(order)), units, 60.0)


def test_an_edition_posed_against_itself_does_not_move():
    outer, first = case(4)
    older = {outer.terms[i]: middle for i, middle in zip(first.order, first.ring.middles)}
    _, again = case(4, previous=older)
    assert again.pose.displacement == pytest.approx(0.0, abs=1e-9)
    assert again.order.tolist() == first.order.tolist()


def test_a_circle_without_common_terms_is_not_posed_against_an_older_one():
    assert pose_against(np.arange(3.0), np.arange(3.0), np.full(3, np.nan)) is None
