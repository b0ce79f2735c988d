"""What the parts of a wheel say: shares as lengths, joins at their heights, sure pegs."""

import copy
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from felloe.ground.drawing import PAPER
from felloe.report.chart import chart_terms
from felloe.report.sheet.beside import hundred
from felloe.report.sheet.drawing import draw_sheet
from felloe.report.sheet.felloes import SURE, peg_thickness
from felloe.report.sheet.hub import SHOWN, radius_of, tree_of, turn_to
from felloe.report.sheet.lists import moved, unsettled
from felloe.report.sheet.name_fitting import has_name, is_lone, letters_of
from felloe.report.sheet.paper import A3
from felloe.report.sheet.plan import plan_sheet
from felloe.report.sheet.shapes import Shape, Text, leaves
from felloe.report.sheet.spokes import class_sides, evidence
from felloe.report.typeface.shaping import typesetter
from sheet_geometry import named
from test_chart import chart_of


@pytest.fixture(scope="module")
def chart(tmp_path_factory):
    return chart_of(tmp_path_factory.mktemp("chart"), n_classes=6, n_terms=48)


@pytest.fixture(scope="module")
def plan(chart):
    return plan_sheet(chart, A3, typesetter())


@pytest.fixture(scope="module")
def sheet(chart):
    return draw_sheet(chart, A3, typesetter(), "A note.", "", weak=0.5)


def degrees_of(shape, middle):
    """Return the degrees that an outline spans, near a middle."""
    points = np.array([step[1][-2:] for step in shape.steps if step[1]])
    angles = np.degrees(np.arctan2(points[:, 0], -points[:, 1]))
    away = (angles - middle + 180) % 360 - 180 + middle
    return away.min(), away.max()


def pieces(chart, plan, **changed):
    """Return the filled pieces of a term's evidence by colour, and its frame, as spans."""
    word = plan.words[10]
    word = replace(word, entry={**word.entry, **changed})
    *filled, frame = evidence(word, plan, class_sides(chart))
    spans = {shape.fill: degrees_of(shape, word.middle) for shape in filled}
    return word, spans, degrees_of(frame, word.middle)


@pytest.mark.parametrize(("home", "rival"), [(0.6, 0.4), (0.5, 0.25), (0.9, 0.1)])
def test_shares_of_redraws_are_shares_of_the_piece(chart, plan, home, rival):
    other = chart["classes"][-1]
    word, spans, frame = pieces(
        chart, plan, status="firm", home_probability=home, rival_probability=rival,
        rival_class=other["id"],
    )  # fmt: skip
    whole = frame[1] - frame[0]
    for colour, share in ((word.class_["colour"]["used"], home), (other["colour"]["used"], rival)):
        assert (spans[colour][1] - spans[colour][0]) / whole == pytest.approx(share, abs=0.01)


def test_the_rivals_colour_stands_on_the_side_of_its_class(chart, plan):
    ring = [class_ for class_ in chart["classes"] if class_["start_deg"] is not None]
    for other in ring:
        word, spans, _ = pieces(
            chart, plan, status="firm", home_probability=0.7, rival_probability=0.3,
            rival_class=other["id"],
        )  # fmt: skip
        if other["id"] == word.class_["id"]:
            continue
        middle = (other["start_deg"] + other["end_deg"]) / 2
        clockwise = (middle - word.middle) % 360 < 180
        own, its = spans[word.class_["colour"]["used"]], spans[other["colour"]["used"]]
        assert (its[0] >= own[1] - 1e-9) == clockwise


def test_a_rival_that_hardly_ever_wins_is_still_seen_and_nobody_else_is(chart, plan):
    other = chart["classes"][-1]
    told = {"status": "firm", "rival_class": other["id"]}
    _, spans, _ = pieces(chart, plan, **told, home_probability=0.99, rival_probability=0.01)
    low, high = spans[other["colour"]["used"]]
    assert np.radians(high - low) * plan.rings.rim[1] >= 0.39
    _, spans, _ = pieces(chart, plan, **told, home_probability=1.0, rival_probability=0.0)
    assert other["colour"]["used"] not in spans


def test_what_the_committee_moved_is_open(chart, plan):
    _, spans, _ = pieces(chart, plan, status="moved")
    assert spans == {}


def test_a_join_stands_at_the_root_of_the_share_that_put_its_terms_together():
    assert radius_of(1.0, 50.0) == 0.0
    assert radius_of(0.0, 50.0) == 50.0
    assert radius_of(0.75, 50.0) == pytest.approx(25.0)


def joins(node):
    yield from () if node.term else (node,)
    for child in node.children:
        yield from joins(child)


def test_the_hub_joins_each_two_groups_on_the_ring_once(chart):
    on_ring = [term["id"] for _, _, term in chart_terms(chart)]
    root = tree_of(chart, on_ring)
    assert sorted(root.terms()) == sorted(on_ring)
    assert len(list(joins(root))) == len(on_ring) - 1
    for node in joins(root):
        assert len(node.children) == 2
        assert all(child.height <= node.height for child in node.children)


def test_a_join_keeps_the_height_of_its_terms_in_the_tree(chart):
    # by the definition: the lowest merge that holds both, found by walking the list of merges
    merges, below = chart["tree"]["merges"], []
    for merge in merges:
        sides = [{r} if isinstance(r, str) else below[r] for r in (merge["left"], merge["right"])]
        below.append(sides[0] | sides[1])
    on_ring = [term["id"] for _, _, term in chart_terms(chart)]
    root = tree_of(chart, on_ring)
    for one, other in pairwise(on_ring):
        node = root
        while True:
            inside = [c for c in node.children if {one, other} <= set(c.terms())]
            if not inside:
                break
            (node,) = inside
        height = next(m["height"] for m, held in zip(merges, below) if {one, other} <= held)
        assert node.height == height


def test_a_join_stands_between_what_it_joins(chart, plan):
    middles = {word.entry["id"]: word.middle % 360 for word in plan.words}
    for turned in (0.0, 77.0, 200.0):  # wherever the circle begins
        moved_on = {term: (at + turned) % 360 for term, at in middles.items()}
        root = tree_of(chart, moved_on)
        turn_to(root, moved_on)
        for node in joins(root):
            low, high = sorted(child.angle for child in node.children)
            assert low <= node.angle <= high
            assert high - low < 360


def test_joins_that_the_data_do_not_carry_are_open(sheet, chart):
    on_ring = {term["id"] for _, _, term in chart_terms(chart)}
    nodes = list(joins(tree_of(chart, on_ring)))
    (marks,) = named(sheet.body, "joins")
    root, *others = nodes
    open_marks = [part for part in marks.parts if part.fill == PAPER]
    assert len(marks.parts) == len(others)
    assert len(open_marks) == sum(not node.supported for node in others)
    assert 0 < len(open_marks) < len(others)
    assert root.supported is None


@pytest.mark.parametrize(
    ("share", "peg"), [(None, 0), (0.49, 0), (0.5, 1), (SURE - 0.01, 1), (SURE, 2), (1.0, 2)]
)
def test_a_peg_is_as_thick_as_neighbours_are_sure(plan, share, peg):
    thick = peg_thickness(share, 0.5, plan)
    assert [thick == 0, 0 < thick < 2, thick >= 2][peg]


@pytest.mark.parametrize("at", [0, 3], ids=["at the top", "elsewhere"])
def test_a_class_of_one_word_is_set_once(chart, at):
    odd = copy.deepcopy(chart)
    class_ = odd["classes"][at]
    (term, *_), *_ = [each["terms"] for each in class_["subclasses"] if each["terms"]]
    subclass = next(each for each in class_["subclasses"] if term in each["terms"])
    subclass["terms"] = [term]
    class_["subclasses"] = [subclass]
    for each in (subclass, class_):
        each["name"], each["name_is_proposal"] = term["label"], True
        each["start_deg"], each["end_deg"] = term["start_deg"], term["end_deg"]
    assert is_lone(class_)
    drawn = draw_sheet(odd, A3, typesetter(), "A note.", "", weak=0.5)
    (family,) = [g for g in named(drawn.body, "class") if g.name == f"class-{class_['id']}"]
    said = [p.text for p in leaves(family) if not isinstance(p, Shape)]
    assert said == [term["label"]]


def test_heights_that_are_no_shares_are_drawn_without_circles_of_shares(chart):
    # Ward's heights grow beyond 1; the tree keeps its shape
    tall = copy.deepcopy(chart)
    for merge in tall["tree"]["merges"]:
        merge["height"] = 7.5 * merge["height"]
    setter = typesetter()
    hubs = [
        next(named(draw_sheet(each, A3, setter, "", "", weak=0.5).body, "hub"))
        for each in (chart, tall)
    ]
    with_shares, plain = [[p for p in hub.parts if isinstance(p, Shape)] for hub in hubs]
    assert len(with_shares) == len(SHOWN)
    assert plain == []
    told = [" ".join(p.text for p in leaves(draw_sheet(each, A3, setter, "", "", weak=0.5).body)
                     if not isinstance(p, Shape)) for each in (chart, tall)]  # fmt: skip
    assert ["of 100 people put them together" in text for text in told] == [True, False]
    (branches,) = named(hubs[1], "branches")
    ends = [step[1][-2:] for shape in branches.parts for step in shape.steps if step[1]]
    leaf = plan_sheet(tall, A3, setter).leaf
    assert max(np.hypot(*end) for end in ends) == pytest.approx(leaf)
    assert min(np.hypot(*end) for end in ends) == pytest.approx(0.0, abs=1e-9)


def test_a_name_that_is_a_proposal_asks(chart, sheet):
    seen = 0
    for class_ in chart["classes"]:
        for subclass in class_["subclasses"]:
            if has_name(subclass, class_) and subclass["name_is_proposal"]:
                (group,) = [
                    g for g in named(sheet.body, "subclass")
                    if g.name == f"subclass-{subclass['id']}"
                ]  # fmt: skip
                texts = " ".join(p.text for p in group.parts if not isinstance(p, Shape | Text)
                                 and hasattr(p, "text"))  # fmt: skip
                assert texts.endswith("?") or len(texts) <= 2  # a letter that leads to the list
                seen += texts.endswith("?")
    assert seen


def test_what_is_not_settled_is_listed_the_least_settled_first(chart):
    shares = [term["home_probability"] for _, term in unsettled(chart)]
    assert shares == sorted(shares)
    statuses = {term["status"] for _, term in unsettled(chart)}
    assert statuses <= {"doubtful", "undecided"}
    assert {term["status"] for _, term in moved(chart)} <= {"moved"}


@pytest.mark.parametrize(
    ("share", "told"), [(0.0, "0"), (0.002, "1"), (0.5, "50"), (0.999, "99"), (1.0, "100")]
)
def test_shares_are_told_of_a_hundred_and_never_rounded_to_all_or_none(share, told):
    assert hundred(share) == told


@pytest.mark.parametrize(("number", "sign"), [(1, "a"), (26, "z"), (27, "aa"), (52, "az")])
def test_names_without_room_stand_under_letters(number, sign):
    assert letters_of(number) == sign


def test_the_key_claims_nothing_of_pegs_where_all_classes_are_neighbours(small, sheet):
    three = draw_sheet(small, A3, typesetter(), "A note.", "", weak=0.5)
    said = [" ".join(p.text for p in leaves(one.body) if isinstance(p, Text))
            for one in (three, sheet)]  # fmt: skip
    assert ["a peg tells nothing" in text for text in said] == [True, False]
    assert ["or more of 100 redraws" in text for text in said] == [False, True]
