"""Two editions side by side: where the terms went, and how the distances compare."""

import textwrap

from felloe.ground.drawing import ACCENT, CLASS_CYCLE, INK, MUTED, RULE

ROW_MM = 3.6  # one term
GAP_ROWS = 0.9  # between classes
HEAD_ROWS = 3.0
LEFT, RIGHT = 0.36, 0.64  # of the width, where the two columns stand
NAME_CHARACTERS = 16  # of a class in one line
LABEL_CHARACTERS = 24  # of a term at full size; longer ones are set smaller
GRADES = {"robust": (1.8, "-"), "possible": (1.2, (0, (4, 1.5))), "noise": (0.9, (0, (1, 1.5)))}


def migration_height(rows):
    """
    Return the height that `draw_migration` needs.

    Parameters
    ----------
    rows : list of dict
        One per common term.

    Returns
    -------
    float
        Millimetres.
    """
    return (lowest(rows, columns_of(rows)) + HEAD_ROWS + 2.5) * ROW_MM


def lowest(rows, columns):
    """Return the number of rows that the longer column takes."""
    most = max(len(order) for order, _ in columns)
    return len(rows) + GAP_ROWS * most


def columns_of(rows):
    """
    Put the classes of both editions into an order with few crossings.

    Returns
    -------
    list of (classes, places)
        For the older and the newer edition: class ids from the top, and the row of each term.
    """
    older = sorted({row["class_older"] for row in rows})
    first = placed(rows, older, "class_older", lambda row: row["class_newer"])
    newer = sorted(
        {row["class_newer"] for row in rows},
        key=lambda name: (mean_place(rows, first, "class_newer", name), name),
    )
    rank = {name: place for place, name in enumerate(newer)}
    first = placed(rows, older, "class_older", lambda row: rank[row["class_newer"]])
    second = placed(rows, newer, "class_newer", lambda row: first[row["term"]])
    return [(older, first), (newer, second)]


def placed(rows, classes, column, key):
    """Return the row of each term, class by class, within a class by `key`."""
    places, line = {}, 0.0
    for name in classes:
        members = [row for row in rows if row[column] == name]
        for row in sorted(members, key=lambda row: (key(row), row["term"])):
            places[row["term"]] = line
            line += 1.0
        line += GAP_ROWS
    return places


def mean_place(rows, places, column, name):
    """Return the mean row of the terms of one class."""
    lines = [places[row["term"]] for row in rows if row[column] == name]
    return round(sum(lines) / len(lines), 6)


def draw_migration(ax, rows, editions):
    """
    Draw every common term's way from its older class to its newer one.

    Parameters
    ----------
    ax : matplotlib.axes.Axes
        As wide as the page and `migration_height` high.
    rows : list of dict
        One per common term, from the editions' table of terms.
    editions : (str, str)
        What the two are called.
    """
    columns = columns_of(rows)
    ax.set(xlim=(0, 1), ylim=(lowest(rows, columns) + 2.5, -HEAD_ROWS))
    ax.set_axis_off()
    colours = {
        name: CLASS_CYCLE[place % len(CLASS_CYCLE)] for place, name in enumerate(columns[0][0])
    }
    (_, first), (_, second) = columns
    for row in sorted(rows, key=lambda row: (row["migration"] != "none", row["term"])):
        draw_way(
            ax,
            first[row["term"]],
            second[row["term"]],
            row["migration"],
            colours[row["class_older"]],
        )
    for x, edition, align in ((LEFT, editions[0], "right"), (RIGHT, editions[1], "left")):
        ax.text(x, -1.6, edition, ha=align, va="center", fontsize=11, fontweight="bold", color=INK)
    for side, (classes, places) in zip(("older", "newer"), columns, strict=True):
        draw_labels(ax, rows, side, places)
        draw_classes(ax, rows, side, classes, places, colours)
    draw_key(ax, lowest(rows, columns) + 1.2)


def draw_way(ax, start, end, grade, colour):
    """Draw one term's way; moves stand out by weight and dash, not by colour alone."""
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path

    width, dash = GRADES.get(grade, (0.7, "-"))
    middle = (LEFT + RIGHT) / 2
    points = [(LEFT + 0.012, start), (middle, start), (middle, end), (RIGHT - 0.012, end)]
    path = Path(points, [Path.MOVETO, Path.CURVE4, Path.CURVE4, Path.CURVE4])
    ink = INK if grade in GRADES else colour
    alpha = 1.0 if grade in GRADES else 0.55
    ax.add_patch(PathPatch(path, fill=False, lw=width, ls=dash, ec=ink, alpha=alpha))


def draw_labels(ax, rows, side, places):
    """Write the terms beside their places; those that moved in bold."""
    x, align = (LEFT - 0.004, "right") if side == "older" else (RIGHT + 0.004, "left")
    for row in rows:
        label = row["label_older"] if side == "older" else row["label"]
        weight = "bold" if row["migration"] in ("robust", "possible") else "normal"
        size = 6.5 * min(1.0, LABEL_CHARACTERS / len(label))
        ax.text(x, places[row["term"]], label, ha=align, va="center", fontsize=size, weight=weight)


def draw_classes(ax, rows, side, classes, places, colours):
    """Draw a bar along each class with its name."""
    x, align, shift = (0.185, "right", -0.008) if side == "older" else (0.815, "left", 0.008)
    for name in classes:
        members = [row for row in rows if row[f"class_{side}"] == name]
        lines = [places[row["term"]] for row in members]
        colour = colours[name] if side == "older" else MUTED
        ends = [min(lines) - 0.42, max(lines) + 0.42]
        ax.plot([x, x], ends, color=colour, lw=3, solid_capstyle="butt")
        title = textwrap.fill(members[0][f"class_name_{side}"], NAME_CHARACTERS)
        middle = sum(ends) / 2
        ax.text(x + shift, middle, title, ha=align, va="center", fontsize=8, weight="bold")


def draw_key(ax, y):
    """Explain the lines."""
    entries = [("stayed, or followed its class", 0.7, "-", MUTED)]
    entries += [(f"{grade} move", width, dash, INK) for grade, (width, dash) in GRADES.items()]
    for place, (text, width, dash, colour) in enumerate(entries):
        x = (0.05, 0.36, 0.56, 0.77)[place]
        ax.plot([x, x + 0.035], [y, y], lw=width, ls=dash, color=colour)
        ax.text(x + 0.042, y, text, va="center", fontsize=7, color=INK)


def draw_distances(ax, older, newer, editions):
    """
    Draw how the distances of the two editions compare, pair of terms by pair of terms.

    Parameters
    ----------
    ax : matplotlib.axes.Axes
    older, newer : (n_terms, n_terms) array of float
        Over the common terms in one order.
    editions : (str, str)
    """
    n_terms = len(older)
    pairs = [(i, j) for i in range(n_terms) for j in range(i)]
    x = [older[i, j] for i, j in pairs]
    y = [newer[i, j] for i, j in pairs]
    ax.plot([0, 1], [0, 1], color=RULE, lw=1, zorder=0)
    ax.scatter(x, y, s=7, color=ACCENT, alpha=0.25, linewidths=0, rasterized=True)
    ax.set(xlim=(-0.02, 1.02), ylim=(-0.02, 1.02), aspect="equal")
    ax.set_xlabel(f"share of people who kept a pair apart, {editions[0]}")
    ax.set_ylabel(f"the same, {editions[1]}")
    ax.set_title("Every pair of common terms")
