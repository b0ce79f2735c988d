"""What the figures of the tree show: every term, class, cut and tie, within the page."""

from itertools import pairwise

import numpy as np
import pytest
from felloe.clustering import figure_dendrogram
from felloe.clustering.figure_class_counts import PANELS, draw_class_counts
from felloe.clustering.figure_class_counts import size_mm as class_counts_mm
from felloe.clustering.figure_dendrogram import (
    TreePicture,
    dendrogram_page,
    draw_page,
    node_groups,
    node_places,
    side,
    size_mm,
)
from felloe.clustering.figure_matrix import draw_matrix, matrix_page, names_of_classes
from felloe.clustering.figure_words import tree_key
from felloe.clustering.leaf_order import leaf_order
from felloe.ground.distances import Distances
from felloe.ground.drawing import CLASS_CYCLE, figure, save_figure
from felloe.ground.groups.linkage import build_tree, cut, members
from felloe.ground.groups.tree import Tree
from felloe.ground.many_terms import Limit
from felloe.ground.terms import Terms


def leaf_order_of(Z, D):
    """Of terms without names."""
    terms = Terms(f"t{one:03d}" for one in range(len(D)))
    return leaf_order(Tree(terms, Z), Distances(terms, D))


def picture_of(n_terms, n_classes, ties=(), chance=0.9):
    corner = np.triu(np.random.default_rng(71).random((n_terms, n_terms)), 1)
    D = corner + corner.T
    tree = build_tree(D, "average")
    classes = cut(tree, n_classes)
    tied = np.zeros(n_terms - 1, dtype=bool)
    tied[list(ties)] = True
    return D, TreePicture(
        linkage=tree,
        order=leaf_order_of(tree, D),
        labels=[f"a longer term {one}" for one in range(n_terms)],
        statuses=["doubtful" if one == 3 else "firm" for one in range(n_terms)],
        classes=classes,
        subclasses=cut(tree, 2 * n_classes),
        class_names=[f"Class of some words {one}  0.91, independent" for one in range(n_classes)],
        colours=[CLASS_CYCLE[one % 12] for one in range(n_classes)],
        supports=np.append(np.linspace(0, 1, n_terms - 2), np.nan),
        supported=np.arange(n_terms - 1) % 2 == 0,
        tied=tied,
        cuts={"classes": (0.5, 0.52), "subclasses": (0.3, 0.33)},
        chance=chance,
        scale="share",
    )


def drawn(picture):
    key = tree_key(picture.tied.any(), "Whose tree.")
    fig = figure(*size_mm(len(picture.labels), key))
    draw_page(fig, picture, "Tree", key)
    return fig, fig.axes[0]


def texts(ax):
    return [text.get_text() for text in ax.texts]


@pytest.mark.parametrize("n_terms", [15, 100])
def test_every_term_and_class_is_named_once_and_within_the_page(n_terms):
    _, picture = picture_of(n_terms, 6)
    fig, ax = drawn(picture)
    words = [word.replace("\n", " ").removesuffix(" ?") for word in texts(ax)]
    for label in picture.labels:
        assert words.count(label) == 1
    page = fig.bbox
    fig.canvas.draw()
    for text in ax.texts:
        box = text.get_window_extent()
        assert page.x0 <= box.x0
        assert box.x1 <= page.x1


def test_terms_do_not_run_into_the_brackets_of_the_classes():
    _, picture = picture_of(40, 5)
    fig, ax = drawn(picture)
    fig.canvas.draw()
    terms = [text for text in ax.texts if text.get_text().startswith("a longer term")]
    names = [text for text in ax.texts if text.get_text().startswith("Class of")]
    rightmost = max(text.get_window_extent().x1 for text in terms)
    assert rightmost < min(text.get_window_extent().x0 for text in names)


def test_terms_of_a_hundred_do_not_overlap():
    _, picture = picture_of(100, 9)
    fig, ax = drawn(picture)
    fig.canvas.draw()
    boxes = sorted(
        (
            text.get_window_extent()
            for text in ax.texts
            if text.get_text().startswith("a longer term")
        ),
        key=lambda box: box.y0,
    )
    assert all(low.y1 <= high.y0 + 0.5 for low, high in pairwise(boxes))


def test_open_terms_carry_a_sign():
    _, picture = picture_of(15, 4)
    _, ax = drawn(picture)
    assert "a longer term 3 ?" in texts(ax)


def test_tied_merges_are_marked():
    _, picture = picture_of(15, 4, ties=(2, 5))
    _, ax = drawn(picture)
    (marks,) = [line for line in ax.lines if line.get_marker() == "D"]
    assert sorted(marks.get_xdata()) == sorted(picture.linkage[[2, 5], 2])


@pytest.mark.parametrize(("chance", "shown"), [(0.4, True), (float("nan"), False)])
def test_the_chance_line_is_drawn_where_there_is_one(chance, shown):
    _, picture = picture_of(15, 4, chance=chance)
    _, ax = drawn(picture)
    assert ("chance line" in texts(ax)) == shown


@pytest.mark.parametrize("n_terms", [6, 15, 100])
@pytest.mark.parametrize("lines", [1, 2, 3, 5])
def test_the_key_stays_above_the_tree_whatever_its_number_of_lines(n_terms, lines):
    _, picture = picture_of(n_terms, 3, chance=0.4)
    key = "\n".join(["As wide as the page: gypsum " * 8] * lines)
    fig = figure(*size_mm(n_terms, key))
    draw_page(fig, picture, "Tree", key)
    fig.canvas.draw()
    lowest = min(text.get_window_extent().y0 for text in fig.texts)
    assert lowest > max(text.get_window_extent().y1 for text in fig.axes[0].texts)


def test_branches_are_runs_of_the_leaf_order():
    D, picture = picture_of(30, 5)
    place = np.argsort(leaf_order_of(picture.linkage, D))
    for group in members(picture.linkage):
        inside = np.sort(place[group])
        assert inside[-1] - inside[0] == len(inside) - 1


def test_the_leaf_order_of_the_colours_is_the_spectrum(reference):
    # Ekman (1954): the colours lie along the wavelengths; the turned tree keeps to it
    from reference_distances import distances

    D, items = distances(reference, "ekman")
    order = leaf_order_of(build_tree(D, "single"), D)
    assert [items[one] for one in order] == sorted(items)


def test_a_node_lies_between_its_children_and_knows_its_class():
    _, picture = picture_of(20, 4)
    places = node_places(picture.linkage, picture.order)
    groups = node_groups(picture.linkage, picture.classes)
    for merge, (left, right) in enumerate(picture.linkage[:, :2].astype(int)):
        low, high = sorted((places[left], places[right]))
        assert low < places[20 + merge] < high
    for merge, group in enumerate(members(picture.linkage)):
        own = set(picture.classes[group].tolist())
        assert groups[20 + merge] == (own.pop() if len(own) == 1 else -1)


def test_the_matrix_is_shown_in_the_order_of_the_tree():
    D, picture = picture_of(12, 3)
    ax = figure(150, 150).add_axes((0.2, 0.2, 0.7, 0.7))
    image = draw_matrix(ax, 1 - D, picture.order, picture.classes, picture.labels, picture.colours)
    shown = np.asarray(image.get_array().filled(np.nan))
    expected = (1 - D)[np.ix_(picture.order, picture.order)]
    apart = ~np.eye(12, dtype=bool)
    assert np.array_equal(shown[apart], expected[apart])
    names = [picture.labels[one] for one in picture.order]
    assert texts(ax) == names + names  # below the columns and beside the rows
    places = [text.get_position() for text in ax.texts]
    assert places == [(one, 0) for one in range(12)] + [(0, one) for one in range(12)]


def test_where_terms_have_no_room_beside_the_matrix_the_classes_are_named():
    D, picture = picture_of(240, 6)
    names = [f"Class {at}" for at in range(6)]
    page = matrix_page(
        1 - D, picture.order, picture.classes, picture.labels, picture.colours, "Study", names
    )
    told = [text for text in page.axes[0].texts if text.get_text()]
    assert sorted(text.get_text() for text in told) == sorted(names * 2)
    assert names_of_classes(np.array([0, 1, 2]), *np.array([[0, 1, 2], [1, 2, 3]]), "abc") == list(
        "abc"
    )
    lone = np.repeat([0, 1, 2, 3], [99, 1, 1, 139])  # two classes of one term have no room
    starts, ends = np.array([[0, 99, 100, 101], [99, 100, 101, 240]])
    assert list(filter(None, names_of_classes(lone, starts, ends, "abcd"))) == list("abd")
    for text in told:  # each stands within its class
        at = int(max(text.get_position()))
        assert names[picture.classes[picture.order[at]]] == text.get_text()
    assert any("240 terms have no room for their names" in text.get_text() for text in page.texts)
    assert min(text.get_fontsize() for text in [*told, *page.texts]) >= 3.4


def rows_of(numbers):
    return [
        {
            **{name: 0.1 * number for name, _, _ in PANELS},
            "null_largest_jaccard": 0.2, "null_pac": 0.5, "n_classes": number,
            "chosen": number == 7, "tied": False, "below_null": True,
        }
        for number in numbers
    ]  # fmt: skip


def class_counts(**tiers):
    fig = figure(*class_counts_mm(tiers))
    draw_class_counts(fig, tiers)
    return fig


def test_every_index_has_a_panel_with_the_chosen_number_ringed():
    fig = class_counts(classes=rows_of(range(6, 10)), subclasses=rows_of(range(6, 10)))
    axes = [ax for part in fig.subfigs for ax in part.axes]
    assert len(axes) == 2 * len(PANELS)
    for ax in axes:
        (ring,) = [line for line in ax.lines if line.get_markersize() == 8]
        assert ring.get_xdata().tolist() == [7.0]


def test_no_words_stand_in_the_panels_of_the_indices():
    fig = class_counts(classes=rows_of([6, 7]))
    assert all(not ax.texts for ax in fig.subfigs[0].axes)


def test_a_single_number_considered_is_a_line_of_text_without_panels():
    fig = class_counts(classes=rows_of([6, 7]), subclasses=rows_of([11]))
    panels, line = fig.subfigs
    assert len(panels.axes) == len(PANELS)
    assert not line.axes
    (words,) = [text.get_text() for text in line.texts if text is not line._suptitle]
    assert words.startswith("Only 11 was considered")


def test_figures_have_the_same_bytes_each_time(tmp_path):
    _, picture = picture_of(15, 4, ties=(1,))
    for run in ("a", "b"):
        fig, _ = drawn(picture)
        save_figure(fig, [tmp_path / f"{run}.{kind}" for kind in ("svg", "pdf", "png")], title="T")
    for kind in ("svg", "pdf", "png"):
        assert (tmp_path / f"a.{kind}").read_bytes() == (tmp_path / f"b.{kind}").read_bytes()


def test_terms_without_room_have_no_names_and_the_key_says_so(monkeypatch):
    monkeypatch.setattr(figure_dendrogram, "TREE_NAMES", Limit("tree", 40, "terms", "classes"))
    pages = {}
    for n_terms in (40, 80):
        _, picture = picture_of(n_terms, 6)
        fig = dendrogram_page(picture, "Study", "Whose tree.")
        words = [text.get_text() for text in fig.texts]
        named = set(picture.labels) <= {one.removesuffix(" ?") for one in texts(fig.axes[0])}
        pages[n_terms] = fig.get_size_inches()[1] * 25.4, named, "\n".join(words)
        names = [one.replace("\n", " ") for one in texts(fig.axes[0])]
        assert all(name in names for name in picture.class_names)
    assert pages[40][1]
    assert "no room" not in pages[40][2]
    assert not pages[80][1]
    assert "80 terms have no room for their names" in pages[80][2]
    # the page grows by the line of the key and no more
    assert 0 < pages[80][0] - pages[40][0] < 4.0


def test_names_of_cuts_that_lie_near_stand_on_either_side_of_their_lines():
    far, near = {"classes": 0.8, "subclasses": 0.5}, {"classes": 0.8, "subclasses": 0.78}
    assert [side(one, far, 1.0) for one in far.values()] == ["center", "center"]
    # the root is on the left: the higher cut's name ends at its line, the lower one's begins there
    assert [side(one, near, 1.0) for one in near.values()] == ["right", "left"]
