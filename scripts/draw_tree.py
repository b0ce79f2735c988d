"""Step: the tree, the ordered matrix, the numbers of classes and the sensitivity, as figures."""

from typing import TYPE_CHECKING

from felloe.clustering.figure_class_counts import class_counts_page
from felloe.clustering.figure_dendrogram import dendrogram_page, picture_of
from felloe.clustering.figure_matrix import matrix_page
from felloe.clustering.leaf_order import leaf_order
from felloe.clustering.source_words import whose_tree
from felloe.clustering.tables import CLASS_COUNTS, CLASSES, SUPPORT, read_distances, read_tree
from felloe.colours.classes import class_colours
from felloe.colours.contrast import outline_colour
from felloe.colours.tables import COLOURS
from felloe.ground.drawing import save_figure
from felloe.ground.partition import Partition
from felloe.ground.records import read_json
from felloe.sensitivity.figure_words import title as sensitivity_title
from felloe.sensitivity.figures import sensitivity_page
from felloe.sensitivity.tables import UNIVERSES
from felloe.sensitivity.universes import level_shares
from felloe.tiers.tables import DATA_ONLY, PUBLISHED
from felloe.validation.tables import TERMS

if TYPE_CHECKING:
    from matplotlib.figure import Figure


def main(
    *,
    linkage: str,
    distances: str,
    support: str,
    class_support: str,
    chart: str,
    published: str,
    summary: str,
    audit: str,
    class_counts: str,
    universes: str,
    terms: str,
    colours: str,
    study: str,
    whose: str,
    method: str,
    **paths: str,
) -> None:
    """Draw every figure and save it in three formats."""
    tree, apart, used = read_tree(linkage), read_distances(distances), COLOURS.read(colours)
    labels = {row["term"]: row["label"] for row in TERMS.read(terms)}
    about, ran, wheel = read_json(study), UNIVERSES.read(universes), PUBLISHED.read(published)
    title = f"{about['title']}, {about['edition']}"
    home = Partition.of_rows(wheel, "class").on(tree.terms)
    rows = {row["term"]: row for row in DATA_ONLY.read(chart)}
    of_data = [rows[term] for term in tree.terms]
    classes = Partition.of_rows(of_data, "class")
    # thin lines: a light colour is darkened until it stands off the paper
    shades = [outline_colour(one) for one in class_colours(classes.ids, used)]
    order = leaf_order(tree, apart)
    picture = picture_of(
        tree=tree,
        order=order,
        placed=of_data,
        labels=labels,
        colours=shades,
        nodes=SUPPORT.read(support),
        classes=CLASSES.read(class_support),
        node_share=read_json(audit)["node_share"],
        bootstrap=read_json(summary),
        method=method,
    )
    figures: dict[str, Figure] = {
        "dendrogram": dendrogram_page(
            picture, title, whose_tree(read_json(whose), about["populations"])
        ),
        "matrix": matrix_page(
            apart.similarity, order, classes.labels, picture.labels, shades, title
        ),
        "class_counts": class_counts_page(CLASS_COUNTS.read(class_counts), title),
        "sensitivity": sensitivity_page(
            level_shares(ran, tree.terms),
            home,
            labels,
            class_colours(home.ids, used),
            sensitivity_title(len(ran), title),
        ),
    }
    for name, fig in figures.items():
        svg, pdf, png = (paths[f"{name}_{kind}"] for kind in ("svg", "pdf", "png"))
        save_figure(fig, svg, pdf, png, title=title)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
