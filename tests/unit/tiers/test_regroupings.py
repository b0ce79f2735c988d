"""Other classes and what they cost: merges, splits and numbers, each against its definition."""

from dataclasses import replace

import numpy as np
import pytest
import yaml
from felloe.clustering.choice import Limits
from felloe.ground.ordering.circular_order import circular_order
from felloe.tiers.cuts import Tiers, nested_cut
from felloe.tiers.decisions import Decision, FitRule, replayed_chart
from felloe.tiers.price_rows import REASON_TO_WRITE, read_absorbed, regrouping_rows, setting_text
from felloe.tiers.price_settings import OtherSettings
from felloe.tiers.regroupings import Setting, merged, regroupings, ring_neighbours, split
from felloe.tiers.settings import BranchCut, TierSettings
from felloe.tiers.tables import PLACES
from price_example import charted, kinship, named, points, sorted_by_few

KEEP = TierSettings(2, 1, 0.5, "keep", 0.75, 0.5, ())


def settings_of(example, classes, subclasses, span=(2, 6), **more):
    """What the example is made from; nothing is merged upward."""
    tree, _, distances, decisions, rule = example
    chosen = {
        "classes": {"number": classes, "fixed": False, "range": span, "possible": span},
        "subclasses": {"number": subclasses, "fixed": False, "range": (7, 9), "possible": (7, 9)},
    }
    whole = {"supports": {}, "cuts": (), "asked": KEEP, **more}
    return OtherSettings(
        tree=tree, distances=distances, decisions=decisions, rule=rule, chosen=chosen, **whole
    )


def ways(example, classes, subclasses, absorbed=(), **more):
    """The published chart and every row of other classes."""
    other = settings_of(example, classes, subclasses, **more)
    chart = replayed_chart(*example)
    return chart, list(regroupings(chart, absorbed, other.tried(), other.chart))


def groups(chart):
    """The classes as sets of terms."""
    classes = chart.partitions()[0]
    return {frozenset(classes.members(number)) for number in range(classes.n_groups)}


EXAMPLES = [
    pytest.param(lambda seed=seed, make=make: charted(make(seed, (14, 26)), "average", (4, 8)),
                 id=f"{make.__name__}-{seed}")
    for make in (points, sorted_by_few)
    for seed in range(4)
]  # fmt: skip


@pytest.mark.parametrize("make", EXAMPLES)
def test_neighbours_are_those_of_the_order_around_the_circle(make):
    example = make()
    chart = replayed_chart(*example)
    labels, ids = chart.partitions()[0].labels, chart.partitions()[0].ids
    order = circular_order(chart.ordering_tree(), chart.D).order
    around = [ids[labels[place]] for place in order]
    plain = {frozenset(pair) for pair in zip(around, np.roll(around, -1)) if len({*pair}) > 1}
    found = ring_neighbours(chart, ())
    assert {frozenset(pair) for pair in found} == plain
    assert len(found) == 4


def test_terms_off_the_circle_are_nobodys_neighbours():
    example = charted(points(3, (14, 26)), "average", (4, 8))
    chart = replayed_chart(*example)
    classes = chart.partitions()[0]
    gone = classes.members(2)  # no chart absorbs a whole class, but then nothing is left of it
    assert not any(classes.ids[2] in pair for pair in ring_neighbours(chart, gone))


def drawings(tree, node):
    """Every order of the terms below a node that the tree can be drawn in."""
    if node not in tree.children:
        return [(node,)]
    left, right = (drawings(tree, child) for child in tree.children[node])
    return [a + b for one, other in ((left, right), (right, left)) for a in one for b in other]


@pytest.mark.parametrize("seed", range(4))
def test_neighbours_are_those_of_a_shortest_drawing_from_which_absorbed_terms_are_struck(seed):
    chart = replayed_chart(*charted(points(seed, (8, 9)), "average", (4, 6)))
    classes = chart.partitions()[0]
    absorbed = {part[0] for part in map(classes.members, range(4)) if len(part) > 1}
    gone = set(chart.terms.places(absorbed))
    orders = [
        [place for place in order if place not in gone]
        for order in drawings(chart.growing, chart.growing.root)
    ]
    lengths = [chart.D[order, np.roll(order, -1)].sum() for order in orders]
    around = [classes.of_terms[place] for place in orders[int(np.argmin(lengths))]]
    plain = {frozenset(pair) for pair in zip(around, np.roll(around, -1)) if len({*pair}) > 1}
    assert absorbed
    assert {frozenset(pair) for pair in ring_neighbours(chart, absorbed)} == plain


def test_absorbed_terms_are_read_from_the_places(tmp_path):
    rows = [("dill", "dill", "dill", False), ("fig", "dill", "fig", True)]
    PLACES.write(tmp_path / "places.csv", rows)
    assert read_absorbed(tmp_path / "places.csv") == ["fig"]


@pytest.mark.parametrize("make", EXAMPLES)
def test_a_merge_joins_two_classes_and_leaves_all_others(make):
    chart = replayed_chart(*make())
    before = groups(chart)
    classes = chart.partitions()[0]
    for one, other in ring_neighbours(chart, ()):
        found, joined_next = merged(chart, one, other)
        both = {classes.members(classes.ids.index(name)) for name in (one, other)}
        parts = {frozenset(part) for part in both}
        assert groups(found) == before - parts | {frozenset().union(*parts)}
        tree = found.growing.tree()
        assert (np.diff(tree.Z[:, 2]) >= 0).all()
        found.growing.node_of(frozenset().union(*parts))  # refuses what is no branch
        if joined_next:
            assert np.array_equal(tree.Z, chart.growing.tree().Z)
        else:
            with pytest.raises(ValueError, match="not one branch"):
                chart.growing.node_of(frozenset().union(*parts))


@pytest.mark.parametrize("make", EXAMPLES)
def test_a_split_parts_a_class_where_the_tree_parts_it(make):
    chart = replayed_chart(*make())
    before, classes = groups(chart), chart.partitions()[0]
    for number, one in enumerate(classes.ids):
        members = frozenset(classes.members(number))
        found = split(chart, one)
        if len(members) == 1:
            assert found is None
            continue
        parts = groups(found) - before
        assert frozenset().union(*parts) == members
        assert len(parts) == 2
        for part in parts:
            chart.growing.node_of(part)
        Tiers(*found.partitions())  # subclasses stay within classes


@pytest.mark.parametrize("make", EXAMPLES)
def test_a_number_is_the_chart_of_the_data_cut_so_with_the_decisions_replayed(make):
    example = make()
    _, found = ways(example, 4, 8)
    tree, _, distances, decisions, rule = example
    numbers = {way.setting.classes: way for way in found if way.kind == "number"}
    assert set(numbers) == {2, 3, 5, 6}
    for k, way in numbers.items():
        plain = replayed_chart(tree, nested_cut(tree, k, 8), distances, decisions, rule)
        assert groups(way.chart) == groups(plain)
        assert way.fit == plain.fit()


@pytest.mark.parametrize("make", EXAMPLES)
def test_the_next_number_below_is_a_merge_and_the_next_above_a_split(make):
    _, found = ways(make(), 4, 8)
    for k, kind in ((3, "merge"), (5, "split")):
        (number,) = [way for way in found if way.kind == "number" and way.setting.classes == k]
        same = [
            way for way in found if way.kind == kind and groups(way.chart) == groups(number.chart)
        ]
        # two classes that the tree joins next need be no neighbours around the circle
        assert len(same) == 1 or kind == "merge"
        assert number.note == (f"same_as_{kind}" if same else "")
        for way in same:
            assert (way.setting, way.note) == (Setting(k), "")
            assert (number.of_class, number.other) == (way.of_class, way.other)
    for way in found:
        if way.kind != "number" and way.setting == Setting():
            assert way.note in ("others_first", "not_next")


@pytest.mark.parametrize("make", EXAMPLES)
def test_terms_that_change_class_are_those_outside_the_largest_overlap(make):
    chart, found = ways(make(), 4, 8)
    before = chart.partitions()[0]
    for way in found:
        assert set(way.terms) == {
            term
            for term, gone in zip(chart.terms, before.changed(way.chart.partitions()[0]))
            if gone
        }
        if way.kind == "split":
            parts = sorted(groups(way.chart) - groups(chart), key=len)
            assert len(way.terms) == len(parts[0])
        if way.kind == "merge":
            sizes = [
                len(before.members(before.ids.index(one))) for one in (way.of_class, way.other)
            ]
            assert len(way.terms) == min(sizes)


def test_two_numbers_that_publish_the_same_are_told_in_full_once():
    # the cut into four joins a class of one term to others; a decision has put it there already
    tree, tiers, distances, _, rule = charted(chain_with_a_stray(), "single", (5, 7))
    stray, beside = "t012", "t000"
    assert tiers.classes.members(tiers.classes.labels[12]) == (stray,)
    coarser = tree.cut(4).labels
    assert coarser[12] == coarser[0]
    example = tree, tiers, distances, [Decision(stray, beside, "why", "2026-01-01")], rule
    _, found = ways(example, 6, 7, span=(3, 6))
    notes = {way.setting.classes: way.note for way in found if way.kind == "number"}
    assert notes[4] == "same_as_number"
    assert notes[5] != "same_as_number"


def chain_with_a_stray():
    """Five heaps on a line; the one beside the first is a single term, and joins it first."""
    heaps = [(0.0, 3), (10.0, 3), (20.0, 3), (30.0, 3), (3.0, 1)]
    place = np.concatenate([where + 0.1 * np.arange(many) ** 1.1 for where, many in heaps]) / 40
    return named(abs(place[:, None] - place[None]))


def test_the_number_of_subclasses_is_named_where_it_would_not_stay():
    example = charted(points(0, (26, 27)), "average", (4, 8))
    other = settings_of(example, 4, 8)
    assert other.setting(5) == Setting(5)
    assert other.setting(7) == Setting(7, 8)  # seven to nine were looked at, now eight or nine
    assert other.setting(8) == Setting(8, 9)  # eight are no longer enough
    chosen = {**other.chosen, "subclasses": {**other.chosen["subclasses"], "fixed": True}}
    assert replace(other, chosen=chosen).setting(7) == Setting(7)


def test_a_number_that_a_branch_cut_refuses_has_no_price():
    example = charted(points(0, (26, 27)), "average", (4, 8))
    classes = example[1].classes
    members = max(map(classes.members, range(4)), key=len)
    cuts = (BranchCut(members[0], len(members)),)
    _, found = ways(example, 4, 8, cuts=cuts, span=(2, 9))
    refused = [way for way in found if way.note == "cut_refused"]
    assert refused
    rows = list(regrouping_rows(replayed_chart(*example).fit(), refused, "s", ()))
    assert all(row["ring_change"] is None and row["classes"] is None for row in rows)


def test_a_class_of_one_subclass_is_parted_by_a_branch_cut():
    example = charted(points(4, (20, 26)), "average", (4, 4))
    other = settings_of(example, 4, 4, span=(3, 6))
    chart, found = ways(example, 4, 4, span=(3, 6))
    parted = [way for way in found if way.note == "as_subclasses"]
    assert parted
    for way in parted:
        changed = other.chart(way.setting)
        assert groups(changed) == groups(chart)
        parts, wanted = changed.partitions()[1], way.chart.partitions()[1]
        assert np.array_equal(parts.labels, wanted.labels)


def test_settings_are_text_that_can_be_put_into_a_settings_file():
    asked = [{"term": "dill", "subclasses": 3, "reason": "asked: before"}]
    assert setting_text(Setting(), "s", asked) == ""
    assert yaml.safe_load(setting_text(Setting(9), "s", asked)) == {"tiers": {"classes": 9}}
    both = yaml.safe_load(setting_text(Setting(9, 12), "s", asked))
    assert both == {"tiers": {"classes": 9, "subclasses": 12}}
    cut = yaml.safe_load(setting_text(Setting(cut="leek"), "s", asked))
    further = {"term": "leek", "study": "s", "subclasses": 2, "reason": REASON_TO_WRITE}
    assert cut == {"tiers": {"branch_cuts": [*asked, further]}}


def test_weak_subclasses_are_merged_as_the_settings_say():
    example = charted(points(0, (26, 27)), "average", (4, 8))
    merging = replace(KEEP, weak_subclasses="merge", minimum_subclass_size=4)
    assert merging.limits_of_merging == Limits(2, 4, 0.5)
    other = settings_of(example, 4, 8, asked=merging)
    sizes = np.bincount(other.chart(Setting(4)).partitions()[1].labels)
    assert len(sizes) < 8


@pytest.mark.parametrize("freedom", ["tree", "tiers"])
def test_other_classes_of_published_sorts_of_kinship_terms(freedom):
    example = kinship("women_single", "average", (3, 7), rule=FitRule(freedom, "average"))
    chart, found = ways(example, 3, 7)
    before = chart.fit()
    rows = list(regrouping_rows(before, found, "kinship", ()))
    assert list(dict.fromkeys(row["kind"] for row in rows)) == ["merge", "split", "number"]
    for way, row in zip(found, rows, strict=True):
        assert row["classes"] == len(groups(way.chart))
        assert row["n_terms"] == len(row["terms"])
        assert row["ring_change"] == round(way.fit.ring - before.ring, 12)
        if way.kind == "merge" and way.note != "not_next":
            assert row["cophenetic_change"] == 0.0
