"""Step: the tree, the ordered matrix, the numbers of classes and the sensitivity, as figures."""

import numpy as np
from felloe.clustering.figure_class_counts import draw_class_counts
from felloe.clustering.figure_class_counts import size_mm as class_counts_mm
from felloe.clustering.figure_dendrogram import TreePicture, draw_page, key_text
from felloe.clustering.figure_dendrogram import size_mm as dendrogram_mm
from felloe.clustering.figure_matrix import draw_matrix
from felloe.clustering.leaf_order import leaf_order
from felloe.clustering.support_tables import read_class_counts
from felloe.clustering.tables import read_linkage
from felloe.colours.contrast import outline_colour
from felloe.ground.distances import Distances
from felloe.ground.drawing import CLASS_CYCLE, figure, save_figure
from felloe.ground.partition import number_by_appearance
from felloe.ground.records import read_json
from felloe.ground.tables import number, read_square, read_table
from felloe.ground.tree import Tree
from felloe.sensitivity.figures import draw_levels, draw_shares
from felloe.sensitivity.figures import size_mm as sensitivity_mm
from felloe.sensitivity.tables import read_universes
from felloe.sensitivity.universes import level_shares

MATRIX_NOTE = (
    "Share of participants who put two terms together; terms in the order of the tree, classes "
    "framed."
)
SCALES = {
    "average": "share of participants who keep the groups apart (mean over pairs)",
    "complete": "share of participants who keep the groups apart (most distant pair)",
    "single": "share of participants who keep the groups apart (nearest pair)",
    "weighted": "share of participants who keep the groups apart (halves weighted alike)",
    "ward": "Ward's height on the square root of the share of participants",
}


def main(
    *, linkage, distances, support, class_support, chart, published, choice, audit, class_counts,
    universes, terms, colours, study, method, **paths,
):  # fmt: skip
    """Draw every figure and save it in three formats."""
    ids, apart = read_square(distances)
    Z, rows = read_linkage(linkage), read_table(chart)
    order = leaf_order(Tree(ids, Z), Distances(ids, apart))
    classes, class_ids = numbered(rows, "class")
    # thin lines: a light colour is darkened until it stands off the paper
    shades = [outline_colour(one) for one in class_colours(class_ids, read_table(colours))]
    labels = [row["label"] for row in read_table(terms)]
    chosen, about = read_json(choice), read_json(study)
    title = f"{about['title']}, {about['edition']}"
    picture = TreePicture(
        linkage=Z,
        order=order,
        labels=labels,
        statuses=[row["status"] for row in rows],
        classes=classes,
        subclasses=numbered(rows, "subclass")[0],
        class_names=class_titles(rows, class_ids, read_table(class_support)),
        colours=shades,
        supports=np.array([*column(support, "bootstrap_proportion"), np.nan]),
        supported=np.array([row["supported"] == "yes" for row in read_table(support)] + [False]),
        tied=np.array(read_json(audit)["node_share"]) < 1.0,
        cuts=chosen["cut_heights"],
        chance=np.nan if chosen["chance_line"] is None else chosen["chance_line"],
        scale=SCALES[method],
    )
    save_dendrogram(picture, title, paths)
    save_matrix(1.0 - apart, order, classes, labels, shades, title, paths)
    save_class_counts(read_class_counts(class_counts), title, paths)
    wheel = read_table(published)
    save_sensitivity(read_universes(universes), wheel, ids, labels, colours, title, paths)


def column(path, name):
    """Return one column of a table as numbers."""
    return [number(row[name]) for row in read_table(path)]


def numbered(rows, tier):
    """Return the groups of a tier as numbers, and their ids in that order."""
    ids = np.array([row[tier] for row in rows])
    labels = number_by_appearance(ids)
    return labels, [str(ids[labels == label][0]) for label in range(labels.max() + 1)]


def class_colours(class_ids, chosen):
    """Return the colour of every class: the chosen one, else one of the cycle."""
    used = {row["term"]: row["used"] for row in chosen if row["tier"] == "class"}
    spare = [shade for shade in CLASS_CYCLE if shade not in used.values()] or list(CLASS_CYCLE)
    return [used.get(one) or spare[place % len(spare)] for place, one in enumerate(class_ids)]


def class_titles(rows, class_ids, supports):
    """Return what is printed beside each class: name, support, whether it holds."""
    names = {row["class"]: row["class_name"] for row in rows}
    notes = {
        row["class"]: f"{number(row['jaccard']):.2f}"
        + ("" if row["holds"] == "yes" else ", independent")
        for row in supports
    }
    return [f"{names[one]}  {notes[one]}" for one in class_ids]


def heading(fig, x, y, words):
    """Print the title of a figure."""
    fig.text(x, y, words, fontsize=12, fontweight="bold", va="top")


def save_dendrogram(picture, title, paths):
    """Draw and save the tree."""
    note = "Lines: the cuts, and the chance line, above which merges are no better than chance."
    key = key_text(note, picture.tied.any())
    fig = figure(*dendrogram_mm(len(picture.labels), key))
    draw_page(fig, picture, f"Tree of terms: {title}", key)
    save(fig, "dendrogram", title, paths)


def save_matrix(similar, order, classes, labels, shades, title, paths):
    """Draw and save the ordered matrix."""
    fig = figure(297, 310)
    ax = fig.add_axes((0.15, 0.14, 0.82, 0.785))
    image = draw_matrix(ax, similar, order, classes, labels, shades)
    heading(fig, 0.02, 0.985, f"Who was put together: {title}")
    fig.text(0.02, 0.962, MATRIX_NOTE, fontsize=7.5, va="top")
    key = fig.add_axes((0.72, 0.955, 0.25, 0.012))
    bar = fig.colorbar(image, cax=key, orientation="horizontal", ticks=[0, 0.25, 0.5, 0.75, 1])
    bar.outline.set_visible(False)
    bar.ax.tick_params(labelsize=7, length=2)
    save(fig, "matrix", title, paths)


def save_class_counts(rows, title, paths):
    """Draw and save the indices of the numbers of classes and subclasses."""
    tiers = {
        f"Number of {words}: {title}": [row for row in rows if row["tier"] == tier]
        for tier, words in (("class", "classes"), ("subclass", "subclasses"))
    }
    fig = figure(*class_counts_mm(tiers))
    draw_class_counts(fig, tiers)
    save(fig, "class_counts", title, paths)


def save_sensitivity(universes, published, ids, labels, colours, title, paths):
    """Draw and save the share of universes of every term, the least settled first."""
    share, levels, by_level = level_shares(universes, ids)
    classes, class_ids = numbered(published, "class")
    order = np.lexsort([classes, np.round(share, 9)])
    width, height = sensitivity_mm(len(ids))
    fig = figure(width, height)
    bars = fig.add_axes((0.2, 32 / height, 0.42, 1 - 64 / height))
    grid = fig.add_axes((0.65, 32 / height, 0.33, 1 - 64 / height))
    shades = class_colours(class_ids, read_table(colours))
    of_terms = [shades[classes[one]] for one in order]
    draw_shares(bars, [labels[one] for one in order], share[order], of_terms)
    draw_levels(grid, levels, by_level[order])
    words = f"The same chart under {len(universes)} reasonable choices\n{title}"
    heading(fig, 0.02, 1 - 5 / height, words)
    save(fig, "sensitivity", title, paths)


def save(fig, name, title, paths):
    """Save one figure in the three formats of its name."""
    save_figure(fig, *(paths[f"{name}_{kind}"] for kind in ("svg", "pdf", "png")), title=title)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
