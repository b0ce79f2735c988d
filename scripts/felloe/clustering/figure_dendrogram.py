"""The tree of terms: classes in colour, cuts, chance line, supports, ties."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from textwrap import wrap
from typing import TYPE_CHECKING, Any, Literal

import numpy as np

from felloe.clustering import figure_words
from felloe.ground.arrays import Bools, Floats, Ints
from felloe.ground.drawing import ACCENT, INK, MUTED, PAPER, figure
from felloe.ground.files.tables import Row
from felloe.ground.groups.partition import Partition
from felloe.ground.groups.tree import Tree
from felloe.ground.many_terms import TREE_NAMES
from felloe.ground.terms import check_same

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

ROW_MM = 3.75  # height of a term with a name; a hundred terms fill the longer side of A3
WIDTH_MM = 297
LETTER_MM = 1.42  # room for a letter of a term
NAME_LETTERS = 30
FOOT_MM, KEY_MM = 16, 14  # below the axes; from the top of the page to the key
KEY_LINE_MM = 2.95  # a line of the key
KEY_POINTS = 7
NEAR = 0.07  # of the tree's height between two cuts whose names would touch
STATUS_SIGNS = {"doubtful": "?", "undecided": "??"}


@dataclass(frozen=True)
class TreePicture:
    """
    What is drawn.

    Attributes
    ----------
    linkage : (N - 1, 4) array of float
    order : (N,) array of int
        Terms from top to bottom; every branch is a run.
    labels, statuses : list of str
        One per term.
    classes, subclasses : (N,) array of int
    class_names : list of str
        With what is printed beside them.
    colours : list of str
        One per class.
    supports : (N - 1,) array of float
        Bootstrap proportions; nan for the last merge.
    supported : (N - 1,) array of bool
    tied : (N - 1,) array of bool
        Merges that other input orders do not make.
    cuts : dict of str to (float, float)
        Heights between which each cut lies.
    chance : float
        nan if there is none.
    scale : str
        What the heights are.
    """

    linkage: Floats
    order: Ints
    labels: Sequence[str]
    statuses: Sequence[str]
    classes: Ints
    subclasses: Ints
    class_names: Sequence[str]
    colours: Sequence[str]
    supports: Floats
    supported: Bools
    tied: Bools
    cuts: Mapping[str, Sequence[float]]
    chance: float
    scale: str


def picture_of(
    *,
    tree: Tree,
    order: Ints,
    placed: Sequence[Row],
    labels: Mapping[str, str],
    colours: Sequence[str],
    nodes: Sequence[Row],
    classes: Sequence[Row],
    node_share: Sequence[float],
    bootstrap: Mapping[str, Any],
    method: str,
) -> TreePicture:
    """
    Put together what is drawn of a tree.

    Parameters
    ----------
    tree : Tree
    order : (N,) array of int
        Terms from top to bottom.
    placed : sequence of dict
        Class, subclass and status of every term, in the order of the tree's terms.
    labels : mapping of str to str
        By term.
    colours : sequence of str
        One per class.
    nodes, classes : sequence of dict
        Rows of `support.csv` and `classes.csv`.
    node_share : sequence of float
        Share of input orders in which the group of each merge is found.
    bootstrap : mapping
        `bootstrap.json`.
    method : str
        Linkage.

    Returns
    -------
    TreePicture

    Raises
    ------
    DifferentTerms
        If the rows are not those of the tree's terms, in their order.
    """
    of_classes = Partition.of_rows(placed, "class")
    check_same(tree.terms, of_classes.terms, "the tree", "the tiers")
    names = {row["class"]: row["class_name"] for row in placed}
    told = {row["class"]: row for row in classes}
    chance = bootstrap["chance_line"]
    return TreePicture(
        linkage=tree.Z,
        order=order,
        labels=[labels[term] for term in tree.terms],
        statuses=[row["status"] for row in placed],
        classes=of_classes.labels,
        subclasses=Partition.of_rows(placed, "subclass").labels,
        class_names=[
            figure_words.class_title(names[one], told[one]["jaccard"], told[one]["holds"])
            for one in of_classes.ids
        ],
        colours=colours,
        supports=np.array([*(row["bootstrap_proportion"] for row in nodes), np.nan]),
        supported=np.array([*(row["supported"] for row in nodes), False]),
        tied=np.array(node_share) < 1.0,
        cuts=bootstrap["cut_heights"],
        chance=np.nan if chance is None else chance,
        scale=figure_words.SCALES[method],
    )


def dendrogram_page(picture: TreePicture, study: str, whose: str) -> "Figure":
    """Draw the tree of a study on a page with its key, which says whose sorts it is made from."""
    n_terms = len(picture.labels)
    unnamed = n_terms if n_terms > TREE_NAMES.most else 0
    key = figure_words.tree_key(bool(picture.tied.any()), whose, unnamed)
    fig = figure(*size_mm(n_terms, key))
    draw_page(fig, picture, f"Tree of terms: {study}", key)
    return fig


def size_mm(n_terms: int, key: str) -> tuple[float, float]:
    """Return width and height of the page in millimetres, with room for every line of the key."""
    return WIDTH_MM, max(52.0, ROW_MM * n_terms / crowding(n_terms) - 8.0) + FOOT_MM + header_mm(
        key
    )


def crowding(n_terms: int) -> float:
    """Return how many rows stand where one with a name would: 1 up to `TREE_NAMES` terms."""
    return max(1.0, n_terms / TREE_NAMES.most)


def header_mm(key: str) -> float:
    """Return how far the axes stay below the top of the page."""
    return KEY_MM + KEY_LINE_MM * (key.count("\n") + 1) + 2.1


def draw_page(fig: "Figure", picture: TreePicture, title: str, key: str) -> None:
    """
    Draw the tree below its title and its key.

    Parameters
    ----------
    fig : matplotlib.figure.Figure
        Of the size that `size_mm` gives.
    picture : TreePicture
    title, key : str
        The key may have several lines.
    """
    height = size_mm(len(picture.labels), key)[1]
    room = height - FOOT_MM - header_mm(key)
    draw_dendrogram(fig.add_axes((0.03, FOOT_MM / height, 0.95, room / height)), picture)
    fig.text(0.03, 1 - 7 / height, title, fontsize=12, fontweight="bold", va="top")
    fig.text(0.03, 1 - KEY_MM / height, key, fontsize=KEY_POINTS, va="top")


def draw_dendrogram(ax: "Axes", picture: TreePicture) -> None:
    """
    Draw the tree with its root on the left.

    Parameters
    ----------
    ax : matplotlib.axes.Axes
    picture : TreePicture
    """
    n_terms = len(picture.labels)
    places = node_places(picture.linkage, picture.order)
    groups = node_groups(picture.linkage, picture.classes)
    top = float(picture.linkage[-1, 2])
    draw_lines(ax, picture, top)
    draw_branches(ax, picture, places, groups)
    draw_supports(ax, picture, places, top)
    zones = make_zones(picture, top)
    draw_leaves(ax, picture, zones)
    draw_class_names(ax, picture, zones)
    ax.set_xlim(top * 1.02, -zones.right)
    ax.set_ylim(n_terms - 0.3, -3.2 * crowding(n_terms))
    ax.set_yticks([])
    ax.set_xticks([tick for tick in ax.get_xticks() if 0 <= tick <= top])
    ax.set_xlabel(picture.scale, loc="left")
    ax.spines["left"].set_visible(False)
    ax.spines["bottom"].set_bounds(top, 0)


def node_places(linkage: Floats, order: Ints) -> Floats:
    """Return the vertical place of every node, (2 N - 1,) array: the middle of its children."""
    n_terms = len(linkage) + 1
    places = np.empty(2 * n_terms - 1)
    places[order] = np.arange(n_terms)
    for merge, (left, right) in enumerate(linkage[:, :2].astype(int)):
        places[n_terms + merge] = (places[left] + places[right]) / 2
    return places


def node_groups(linkage: Floats, classes: Ints) -> list[int]:
    """Return the class of every node, -1 where it holds terms of several."""
    groups: list[int] = classes.tolist()
    for left, right in linkage[:, :2].astype(int):
        groups.append(groups[left] if groups[left] == groups[right] else -1)
    return groups


def draw_branches(ax: "Axes", picture: TreePicture, places: Floats, groups: Sequence[int]) -> None:
    """Draw all merges: two branches and the line that joins them."""
    from matplotlib.collections import LineCollection

    n_terms = len(picture.labels)
    heights = np.append(np.zeros(n_terms), picture.linkage[:, 2])
    lines, shades = [], []
    for merge, (left, right) in enumerate(picture.linkage[:, :2].astype(int)):
        node = n_terms + merge
        for child in (left, right):
            lines.append([(heights[node], places[child]), (heights[child], places[child])])
            shades.append(groups[child])
        lines.append([(heights[node], places[left]), (heights[node], places[right])])
        shades.append(groups[node])
    colours = [picture.colours[group] if group >= 0 else MUTED for group in shades]
    ax.add_collection(LineCollection(lines, colors=colours, linewidths=1.1, capstyle="projecting"))
    tied = n_terms + np.flatnonzero(picture.tied)
    ax.plot(
        heights[tied], places[tied], "D", ms=3.6, mfc=PAPER, mec=ACCENT, mew=0.8, zorder=5
    )  # fmt: skip


def draw_lines(ax: "Axes", picture: TreePicture, top: float) -> None:
    """Draw where the cuts lie, and the chance line."""
    n_terms = len(picture.labels)
    up = crowding(n_terms)
    ends = [-0.9 * up, n_terms - 0.4]
    middles = {name: (low + high) / 2 for name, (low, high) in picture.cuts.items()}
    for name, middle in middles.items():
        ax.plot([middle] * 2, ends, color=INK, lw=0.7, ls=(0, (5, 3)), zorder=1)
        ax.text(
            middle,
            -1.15 * up,
            name,
            ha=side(middle, middles, top),
            va="bottom",
            fontsize=7,
            color=INK,
        )
    if not np.isnan(picture.chance) and picture.chance < top * 1.02:
        ax.plot([picture.chance] * 2, ends, color=ACCENT, lw=0.9, ls=(0, (1, 1.5)), zorder=1)
        ax.text(
            picture.chance,
            -2.25 * up,
            "chance line",
            ha="center",
            va="bottom",
            fontsize=7,
            color=ACCENT,
        )


def side(
    middle: float, middles: Mapping[str, float], top: float
) -> Literal["left", "center", "right"]:
    """Return which end of a cut's name stands at its line: the outer one beside another's name."""
    near = [one for one in middles.values() if 0 < abs(one - middle) < NEAR * top]
    if not near:
        return "center"
    return "right" if middle > near[0] else "left"


def draw_supports(ax: "Axes", picture: TreePicture, places: Floats, top: float) -> None:
    """Print bootstrap proportions in percent at the nodes from the subclasses upwards."""
    from matplotlib.patheffects import withStroke

    halo = [withStroke(linewidth=1.8, foreground=PAPER)]
    n_terms = len(picture.labels)
    groups = node_groups(picture.linkage, picture.subclasses)
    parents = np.empty(2 * n_terms - 1, dtype=int)
    parents[picture.linkage[:, :2].astype(int)] = np.arange(n_terms, 2 * n_terms - 1)[:, None]
    for merge in range(n_terms - 2):
        node = n_terms + merge
        if groups[node] >= 0 and groups[parents[node]] == groups[node]:
            continue  # inside a subclass
        height = picture.linkage[merge, 2]
        strong = bool(picture.supported[merge])
        ax.text(
            height + 0.004 * top, places[node] - 0.12, f"{100 * picture.supports[merge]:.0f}",
            fontsize=5.8, ha="right", va="bottom", color=INK if strong else MUTED,
            fontweight="bold" if strong else "normal", zorder=6, path_effects=halo,
        )  # fmt: skip


def draw_leaves(ax: "Axes", picture: TreePicture, zones: "Zones") -> None:
    """Print the terms, open ones with a sign; more than `TREE_NAMES` have no room."""
    if len(picture.labels) > TREE_NAMES.most:
        return
    for place, term in enumerate(picture.order):
        sign = STATUS_SIGNS.get(picture.statuses[term], "")
        ax.text(
            -zones.pad, place, f"{picture.labels[term]} {sign}".rstrip(), fontsize=7,
            ha="left", va="center", color=INK, style="italic" if sign else "normal",
        )  # fmt: skip


def draw_class_names(ax: "Axes", picture: TreePicture, zones: "Zones") -> None:
    """Draw a bracket and the name of every class beside its terms."""
    classes = picture.classes[picture.order]
    starts = np.flatnonzero(np.append(True, classes[1:] != classes[:-1]))
    ends = np.append(starts[1:], len(classes)) - 1
    for first, last in zip(starts, ends, strict=True):
        label = int(classes[first])
        ax.plot(
            [-zones.bracket] * 2, [first - 0.38, last + 0.38], color=picture.colours[label],
            lw=3.2, solid_capstyle="butt",
        )  # fmt: skip
        ax.text(
            -zones.bracket - zones.pad, (first + last) / 2, wrapped(picture.class_names[label]),
            fontsize=7.5, ha="left", va="center", color=INK, linespacing=1.2,
        )  # fmt: skip


def wrapped(text: str) -> str:
    """Return text in lines of at most `NAME_LETTERS` letters."""
    return "\n".join(wrap(text, NAME_LETTERS, break_long_words=False))


@dataclass(frozen=True)
class Zones:
    """
    Widths on the axis of heights.

    Attributes
    ----------
    pad, bracket, right : float
        Space beside a line, distance of the class brackets, right end; below zero height.
    """

    pad: float
    bracket: float
    right: float


def make_zones(picture: TreePicture, top: float) -> Zones:
    """Return room for the longest term and the longest class name, the rest for the tree."""
    named = len(picture.labels) <= TREE_NAMES.most
    term_mm = LETTER_MM * (max(len(label) for label in picture.labels) + 3) * named
    lines = [line for name in picture.class_names for line in wrapped(name).split("\n")]
    name_mm = 1.1 * LETTER_MM * max(len(line) for line in lines)
    unit = 1.02 * top / (0.95 * WIDTH_MM - term_mm - name_mm - 9.0)
    return Zones(2.0 * unit, (term_mm + 4.0) * unit, (term_mm + name_mm + 9.0) * unit)
