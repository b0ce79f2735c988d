"""The figures of the tree, in the colours of its classes: what they need is read here."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Self

from felloe.clustering.figure_class_counts import class_counts_page
from felloe.clustering.figure_dendrogram import dendrogram_page, picture_of
from felloe.clustering.figure_matrix import matrix_page
from felloe.clustering.leaf_order import leaf_order
from felloe.clustering.source_words import whose_tree
from felloe.clustering.tables import CLASS_COUNTS, CLASSES, SUPPORT
from felloe.clustering.tree_files import read_distances, read_tree
from felloe.colours.classes import class_colours
from felloe.colours.contrast import outline_colour
from felloe.colours.tables import COLOURS
from felloe.comparison.provisional_words import marked_first
from felloe.ground.files.records import read_json
from felloe.ground.groups.partition import Partition
from felloe.ground.terms import Terms
from felloe.sensitivity.figure_words import title as sensitivity_title
from felloe.sensitivity.figures import sensitivity_page
from felloe.sensitivity.tables import UNIVERSES
from felloe.sensitivity.universes import level_shares
from felloe.tiers.tables import DATA_ONLY, PUBLISHED
from felloe.validation.tables import TERMS

if TYPE_CHECKING:
    from matplotlib.figure import Figure


@dataclass(frozen=True)
class TreeFiles:
    """Where everything stands that the figures of the tree are drawn from."""

    linkage: str
    distances: str
    support: str
    class_support: str
    chart: str
    published: str
    summary: str
    audit: str
    class_counts: str
    universes: str
    terms: str
    colours: str
    study: str
    whose: str

    @classmethod
    def of(cls, paths: Mapping[str, str]) -> Self:
        """Take these from more paths, by their names."""
        return cls(**{field.name: paths[field.name] for field in fields(cls)})

    @property
    def title(self) -> str:
        """The study's title and edition, and whether the chart is provisional."""
        about = read_json(self.study)
        title = f"{about['title']}, {about['edition']}"
        return marked_first(title, read_json(self.whose)["provisional"])

    @property
    def whose_tree(self) -> str:
        """Whose sorts the tree is from, and how they weigh, in words."""
        return whose_tree(read_json(self.whose), read_json(self.study)["populations"])

    @property
    def labels(self) -> dict[str, str]:
        """The label of every term."""
        return {row["term"]: row["label"] for row in TERMS.read(self.terms)}


def tree_figures(files: TreeFiles, method: str) -> dict[str, "Figure"]:
    """
    Draw the tree, the ordered matrix, the numbers of classes and the sensitivity.

    Parameters
    ----------
    files : TreeFiles
    method : str
        Linkage.

    Returns
    -------
    dict of str to matplotlib.figure.Figure
        By the name of the file.
    """
    tree, apart = read_tree(files.linkage), read_distances(files.distances)
    rows = {row["term"]: row for row in DATA_ONLY.read(files.chart)}
    of_data = [rows[term] for term in tree.terms]
    classes = Partition.of_rows(of_data, "class")
    # thin lines: a light colour is darkened until it stands off the paper
    used = COLOURS.read(files.colours)
    shades = [outline_colour(one) for one in class_colours(classes.ids, used)]
    order, title = leaf_order(tree, apart), files.title
    picture = picture_of(
        tree=tree,
        order=order,
        placed=of_data,
        labels=files.labels,
        colours=shades,
        nodes=SUPPORT.read(files.support),
        classes=CLASSES.read(files.class_support),
        node_share=read_json(files.audit)["node_share"],
        bootstrap=read_json(files.summary),
        method=method,
    )
    named, called = picture.labels, {row["class"]: row["class_name"] for row in of_data}
    of_classes = [called[one] for one in classes.ids]
    return {
        "dendrogram": dendrogram_page(picture, title, files.whose_tree),
        "matrix": matrix_page(
            apart.similarity, order, classes.labels, named, shades, title, of_classes
        ),
        "class_counts": class_counts_page(CLASS_COUNTS.read(files.class_counts), title),
        "sensitivity": sensitivity_figure(files, tree.terms),
    }


def sensitivity_figure(files: TreeFiles, terms: Terms) -> "Figure":
    """Draw how many of the universes give each term its published class."""
    ran, used = UNIVERSES.read(files.universes), COLOURS.read(files.colours)
    home = Partition.of_rows(PUBLISHED.read(files.published), "class").on(terms)
    shares, shades = level_shares(ran, terms), class_colours(home.ids, used)
    title = sensitivity_title(len(ran), files.title)
    return sensitivity_page(shares, home, files.labels, shades, title)
