"""Each population's own chart: its cut, its order, its matching, and what is drawn of it."""

from itertools import combinations, pairwise

import numpy as np
import pytest
from felloe.circle.own import figure_own_charts
from felloe.circle.own.figure_own_charts import (
    CELL,
    OwnCharts,
    OwnView,
    draw_own_charts,
    measures_of,
    placed_names,
    spread,
)
from felloe.circle.own.own_chart_words import classes_of, moves, named_by_terms
from felloe.circle.own.own_charts import Alike, counterparts, own_chart, own_distances
from felloe.ground.distances import Distances
from felloe.ground.groups.contingency import contingency
from felloe.ground.groups.partition import Partition
from felloe.ground.many_terms import Limit
from felloe.ground.people.counts import Counts
from felloe.ground.terms import DifferentTerms
from matching_oracle import best_pairings
from scipy.cluster.hierarchy import fcluster, linkage
from scipy.spatial.distance import squareform

TERMS = tuple(f"t{number}" for number in range(9))


def random_distances(seed, n=9):
    """Return distances without ties, so that a general library cuts the same tree."""
    values = np.round(np.random.default_rng(seed).permutation(n * (n - 1) // 2) / 97 + 0.1, 12)
    return Distances(TERMS[:n], squareform(values))


def alike(published, n_subclasses=5):
    return Alike(Partition.of_ids(TERMS, list(published)), n_subclasses, "average", 60.0, 3.0, {})


def as_sets(terms, groups):
    return {frozenset(t for t, g in zip(terms, groups, strict=True) if g == one) for one in groups}


@pytest.mark.parametrize("seed", range(5))
def test_the_tree_is_cut_into_as_many_groups_as_are_published(seed):
    distances = random_distances(seed)
    found = own_chart(distances, alike("aaabbbccc"))
    tree = linkage(squareform(distances.D), "average")
    assert as_sets(TERMS, found.ring.classes) == as_sets(TERMS, fcluster(tree, 3, "maxclust"))
    assert as_sets(TERMS, found.ring.subclasses) == as_sets(TERMS, fcluster(tree, 5, "maxclust"))


def drawings(tree, node, n):
    """Yield every order of the terms below a node that its merges allow."""
    if node < n:
        yield [node]
        return
    left, right = (int(child) for child in tree[node - n, :2])
    for one in drawings(tree, left, n):
        for other in drawings(tree, right, n):
            yield one + other
            yield other + one


@pytest.mark.parametrize("seed", range(3))
def test_the_order_is_the_shortest_of_all_that_the_tree_allows(seed):
    distances = random_distances(seed)
    found = own_chart(distances, alike("aaabbbccc"))
    tree = linkage(squareform(distances.D), "average")

    def length(order):
        return sum(distances.D[a, b] for a, b in pairwise([*order, order[0]]))

    shortest = min(length(order) for order in drawings(tree, 2 * len(TERMS) - 2, len(TERMS)))
    assert length(found.layout.order.tolist()) == pytest.approx(shortest, abs=1e-12)


@pytest.mark.parametrize("seed", range(8))
def test_classes_stand_for_published_ones_by_the_one_rule(seed):
    rng = np.random.default_rng(seed)
    own, published = (Partition.of_ids(TERMS, rng.integers(0, k, 9).tolist()) for k in (4, 3))
    found = counterparts(own, published)
    pairs = {
        place: published.ids.index(there)
        for place, there in enumerate(found.values())
        if there is not None
    }
    assert pairs in best_pairings(contingency(published.labels, own.labels).tolist())


def test_a_class_left_over_stands_for_none_and_all_its_terms_differ():
    own = own_chart(random_distances(1), alike("aaaaaaabc"))
    left = [name for name, there in own.stands_for.items() if there is None]
    assert left  # two of three own classes lie within the large published one
    for row in own.rows("makers"):
        assert row["differs"] == (row["matched_class"] != row["published_class"])
        assert (row["matched_class"] == "") == (row["class"] in left)


def test_the_ring_holds_every_term_once_and_closes():
    rows = list(own_chart(random_distances(2), alike("aaabbbccc")).rows("makers"))
    assert sorted(row["term"] for row in rows) == list(TERMS)
    assert sum(row["end_deg"] - row["start_deg"] for row in rows) == pytest.approx(300.0)


def test_the_ring_lies_like_the_published_one():
    distances = random_distances(3)
    first = own_chart(distances, alike("aaabbbccc"))
    turned = {
        row["term"]: ((row["start_deg"] + row["end_deg"]) / 2 + 120.0) % 360.0
        for row in first.rows("makers")
    }
    again = own_chart(distances, Alike(**{**vars(alike("aaabbbccc")), "angles": turned}))
    apart = [
        ((row["start_deg"] + row["end_deg"]) / 2 - turned[row["term"]] + 180.0) % 360.0 - 180.0
        for row in again.rows("makers")
    ]
    assert np.abs(apart).mean() < 30.0  # a boundary near enough stands at the top


def test_published_classes_of_other_terms_are_refused():
    published = Partition.of_ids([*TERMS[:8], "zz"], list("aaabbbccc"))
    with pytest.raises(DifferentTerms):
        own_chart(random_distances(0), Alike(published, 5, "average", 60.0, 3.0, {}))


def test_a_pair_that_nobody_of_a_population_placed_takes_the_pooled_share():
    def counts(together, both):
        return Counts(("a", "b"), np.array([[4, together], [together, 4]]),
                      np.array([[4, both], [both, 4]]))  # fmt: skip

    found = own_distances({"makers": counts(0, 0), "panel": counts(1, 4), "pooled": counts(3, 4)})
    assert {name: each.D[0, 1] for name, each in found.items()} == {"makers": 0.25, "panel": 0.75}


# what is drawn


def ring_of(n_terms, sizes, start=0.0):
    """Return rows of a ring of classes of these sizes, gaps of a sixth of the circle."""
    width, gap = 300.0 / n_terms, 60.0 / len(sizes)
    rows, place = [], start
    for number, size in enumerate(sizes):
        for _ in range(size):
            rows.append(
                {
                    "population": "panel",
                    "term": f"t{len(rows):02}",
                    "class": f"c{number}",
                    "subclass": f"c{number}",
                    "start_deg": place,
                    "end_deg": place + width,
                    "matched_class": f"c{number}" if number % 4 else "",
                    "published_class": "c1",
                    "differs": len(rows) % 3 == 0,
                }
            )
            place += width
        place += gap
    return rows


def view_of(n_terms, sizes, rings=2):
    rows = ring_of(n_terms, sizes)
    labels = {row["term"]: f"somewhat long {row['term']}" for row in rows}
    names = {f"c{number}": f"Class of spices {number}" for number in range(len(sizes))}
    classes = classes_of(rows, "panel", names, labels)
    ring = OwnView("Trained panelists of the guild (11)", rows, classes)
    colours = dict.fromkeys(names, "#5b7fb0")
    return OwnCharts((ring,) * rings, labels, colours, provisional=True)


SHAPES = {
    "96 terms in 12 classes": (96, [1, 1, 1, 1, 2, 2, 40, 3, 5, 30, 8, 2]),
    "240 terms in 8 classes": (240, [30] * 8),
    "12 terms in 3 classes": (12, [4, 1, 7]),
}


@pytest.fixture(params=SHAPES, scope="module")
def drawn(request):
    from matplotlib.backends.backend_agg import FigureCanvasAgg

    view = view_of(*SHAPES[request.param])
    fig = draw_own_charts(view)
    return view, fig, FigureCanvasAgg(fig).get_renderer()


def test_no_two_labels_touch_along_the_ring(drawn):
    view, _, _ = drawn
    sizes = measures_of(view)
    along = 2 * np.pi * sizes.labels * (300.0 / len(view.rings[0].rows)) / 360.0
    assert along >= sizes.points * 25.4 / 72  # a line of type is as high as its size


def test_nothing_is_clipped(drawn):
    _, fig, renderer = drawn
    width, height = fig.canvas.get_width_height()
    for text in [*fig.texts, *(text for ax in fig.axes for text in ax.texts)]:
        box = text.get_window_extent(renderer)
        assert min(box.x0, box.y0, width - box.x1, height - box.y1) >= 0, text


def test_names_in_the_hub_do_not_overlap_and_stay_within_it(drawn):
    view, fig, renderer = drawn
    hub, names = measures_of(view).hub, {one["name"] for one in view.rings[0].classes}
    for ax in fig.axes:
        inside = [
            text.get_window_extent(renderer).transformed(ax.transData.inverted())
            for text in ax.texts
            if text.get_rotation() == 0 and abs(text.get_position()[1]) < hub
        ]
        assert len(inside) >= len(names)
        for box in inside:
            assert max(np.hypot(x, y) for x in box.intervalx for y in box.intervaly) < hub
        for one, other in combinations(inside, 2):
            assert not one.overlaps(other)


def test_a_dot_marks_every_term_of_another_class(drawn):
    view, fig, _ = drawn
    marked = sum(row["differs"] for row in view.rings[0].rows)
    for ax in fig.axes:
        assert sum(line.get_marker() == "o" for line in ax.lines) == marked


def test_rings_stand_side_by_side_where_they_fit_and_below_one_another_where_not():
    for n_terms, beside in ((96, True), (240, False)):
        first, second = draw_own_charts(view_of(n_terms, [n_terms // 4] * 4)).axes
        assert (first.get_position().y0 == second.get_position().y0) == beside


def test_names_are_pushed_apart_by_their_heights_and_stay_within():
    placed = spread([9.0, 8.5, 8.0, -9.5], [3.0, 3.0, 3.0, 3.0], 10.0)
    assert all(a - b >= 3.0 for a, b in pairwise(placed))
    assert placed[0] <= 8.5
    assert placed[-1] >= -8.5


def test_names_that_are_too_many_for_the_hub_are_refused_at_that_size():
    assert placed_names([(90.0, "Name")] * 40, 20.0, 6.0) is None


def test_a_class_that_stands_for_none_is_named_by_its_first_terms():
    assert named_by_terms(["dill", "clove"]) == "dill, clove"
    assert named_by_terms(["dill", "clove", "mace", "ash", "elm"]) == "dill, clove, mace and 2 more"


def moved(term, own, matched, published="trees", differs=True):
    row = {"population": "panel", "term": term, "class": own, "matched_class": matched}
    return {**row, "published_class": published, "differs": differs}


def test_it_is_told_to_which_class_a_population_gives_a_term():
    rows = [
        moved("ash", "beet", "roots"),
        moved("oak", "beet", "roots"),
        moved("beet", "beet", "roots", "roots", differs=False),
        moved("fir", "fir", ""),
        moved("yew", "yew", ""),
        moved("box", "yew", ""),
        {**moved("elm", "beet", "roots"), "population": "makers"},
    ]
    labels = {row["term"]: row["term"].title() for row in rows}
    assert moves(rows, "panel", {"trees": "Trees", "roots": "Roots"}, labels) == [
        "Ash, Oak with Roots, not in Trees",
        "Fir alone, not in Trees",
        "Yew, Box in a class of its own (Yew, Box), not in Trees",
    ]


def test_rings_without_room_for_names_have_dots_alone_and_say_so(monkeypatch):
    monkeypatch.setattr(figure_own_charts, "OWN_NAMES", Limit("names", 10, "terms", "dots"))
    view = view_of(30, (10, 10, 10))
    fig = draw_own_charts(view)
    assert measures_of(view).cell == CELL
    words = [text.get_text() for ax in fig.axes for text in ax.texts]
    assert not set(words) & set(view.labels.values())
    differing = sum(row["differs"] for row in view.rings[0].rows)
    dots = [line for line in fig.axes[0].lines if line.get_marker() == "o"]
    assert len(dots) == differing
    said = " ".join(text.get_text() for text in fig.texts).replace("\n", " ")
    assert "30 terms have no room for their names" in said
