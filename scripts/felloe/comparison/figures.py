"""Two populations at a glance: both matrices, the noise ceiling, the terms that differ."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from felloe.comparison import words
from felloe.comparison.correlating.shares import shares_together
from felloe.ground.arrays import Floats
from felloe.ground.axis_names import name_rows
from felloe.ground.drawing import ACCENT, INK, MUTED, PAPER, RULE, figure
from felloe.ground.files.tables import Row
from felloe.ground.many_terms import POPULATIONS_NAMES
from felloe.ground.people.counts import Counts
from felloe.ground.terms import Terms

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from matplotlib.image import AxesImage

WIDTH_MM, HEIGHT_MM = 297, 210  # A4, lying
POINT_MM = 0.3528
CHARACTER_WIDTH = 0.58  # of the print, as a share of its size
SHOWN_TERMS = 12
TITLE_POINTS = 8.5
LABEL_POINTS = 8.0  # largest print of a term
MATRIX = (0.098, 0.07, 0.558, 0.789)  # left, bottom, width, height as shares of the page: square
HEADING_CHARACTERS = 84  # of the largest print in the width of the page
WRAP = 64  # characters in a line of the right-hand column
SIGNS = {"at least": "≥", "at most": "≤", "above": ">"}


class Difference(NamedTuple):
    """How differently a term, told by its label, is placed, and whether that counts."""

    label: str
    difference: float
    p: float
    differs: bool


@dataclass(frozen=True)
class PopulationsView:
    """
    What is drawn.

    Attributes
    ----------
    terms : tuple of str
        Labels in the order of the pooled tree.
    classes : tuple of str
        Class of each term in the pooled chart, in the same order.
    upper, lower : (n_terms, n_terms) array of float
        Share of people who put two terms together, in the same order; equal for one population.
    titles : tuple of str
        Names and sizes of the populations above and below the diagonal; one for one population.
    record : mapping
        The dossier, as in `populations.json`.
    populations : mapping of str to str
        What populations are called.
    splits : (n_splits,) array of float
        Correlations of random splits.
    differences : tuple of Difference
        Terms by falling difference beyond granularity.
    changing : tuple of str
        Labels of the terms that change class between the populations' own charts.
    override : str or None
        The setting `comparison.pooling` where it overrides the verdict.
    """

    terms: tuple[str, ...]
    classes: tuple[str, ...]
    upper: Floats
    lower: Floats
    titles: tuple[str, ...]
    record: Mapping[str, Any]
    populations: Mapping[str, str]
    splits: Floats
    differences: tuple[Difference, ...]
    changing: tuple[str, ...]
    override: str | None = None


def view_of(
    record: Mapping[str, Any],
    counts: Mapping[str, Counts],
    tables: Mapping[str, Sequence[Row]],
    labels: Mapping[str, str],
    populations: Mapping[str, str],
    override: str | None = None,
) -> PopulationsView:
    """
    Put together what is drawn.

    Parameters
    ----------
    record : mapping
        The dossier, as in `populations.json`.
    counts : mapping of str to Counts
        Of every population.
    tables : mapping of str to list of dict
        Rows of `consequence`, `terms` and `splits`.
    labels : mapping of str to str
        Wording of every term.
    populations : mapping of str to str
        What populations are called.
    override : str or None
        See `PopulationsView`.

    Raises
    ------
    felloe.ground.terms.DifferentTerms
        If the counts lack a term of the tables.
    """
    rows = sorted(tables["consequence"], key=lambda row: row["position"])
    order = Terms(row["term"] for row in rows)
    names = record["populations"]
    shares = [shares_together(counts[name].on(order), np.nan) for name in names]
    compared = record["compared"]
    changing = record["consequence"]["class"]["changing"] if compared else ()
    return PopulationsView(
        terms=tuple(labels[term] for term in order),
        classes=tuple(row["class_pooled"] for row in rows),
        upper=shares[0],
        lower=shares[-1],
        titles=tuple(f"{populations[name]} ({record['n_people'][name]})" for name in names),
        record=record,
        populations=populations,
        splits=np.array([row["r"] for row in tables["splits"]], dtype=float),
        differences=differences_of(tables["terms"], labels, record) if compared else (),
        changing=tuple(labels[term] for term in changing),
        override=override,
    )


def differences_of(
    rows: Sequence[Row], labels: Mapping[str, str], record: Mapping[str, Any]
) -> tuple[Difference, ...]:
    """Return the terms by falling difference beyond granularity, those that differ first."""
    differing = set(record["terms"]["differing"])
    listed = (
        Difference(
            labels[row["term"]],
            row["difference"],
            row["p_maxT"],
            row["term"] in differing,
        )
        for row in rows
    )
    return tuple(sorted(listed, key=lambda one: (not one.differs, -one.difference, one.label)))


def draw_populations(view: PopulationsView) -> "Figure":
    """
    Draw the figure.

    Parameters
    ----------
    view : PopulationsView

    Returns
    -------
    matplotlib.figure.Figure
        A4, lying.
    """
    fig = figure(WIDTH_MM, HEIGHT_MM)
    draw_heading(fig, view)
    draw_matrix(fig, fig.add_axes(MATRIX), view)
    if view.record["compared"]:
        on = fig.add_axes((0.69, 0.69, 0.295, 0.155))
        draw_criteria(on, view.record["criteria"], view.record.get("sample"))
        draw_ceiling(fig.add_axes((0.69, 0.505, 0.295, 0.12)), view)
        draw_differences(fig.add_axes((0.79, 0.225, 0.13, 0.195)), view)
        draw_changes(fig, view)
    return fig


def draw_heading(fig: "Figure", view: PopulationsView) -> None:
    """Write the verdict in large print and in one sentence."""
    record = view.record
    if record["compared"]:
        heading = f"{words.HEADINGS[record['verdict']]}: {' and '.join(view.titles)}"
        sentence = words.verdict_words(record)
    else:
        heading = f"One population: {view.titles[0]}"
        sentence = words.verdict_sentence(record, view.populations)
    size = float(np.clip(14.0 * HEADING_CHARACTERS / len(heading), 8.0, 14.0))
    fig.text(
        0.02,
        0.955,
        shortened(heading, 150),
        fontsize=size,
        fontweight="bold",
        va="center",
        color=INK,
    )
    lines = wrapped(sentence, 160, 2)
    fig.text(0.02, 0.932, "\n".join(lines), fontsize=8, va="top", linespacing=1.35)
    override = shortened(words.override_sentence(record, view.override), 160)
    if override:
        below = 0.932 - 0.0195 * len(lines)
        fig.text(0.02, below, override, fontsize=8, va="top", color=ACCENT, fontweight="bold")


def draw_matrix(fig: "Figure", ax: "Axes", view: PopulationsView) -> None:
    """Draw one population above the diagonal and the other below, classes marked by lines."""
    from matplotlib.colors import LinearSegmentedColormap

    n_terms = len(view.terms)
    shown = np.where(np.triu(np.ones((n_terms, n_terms), bool), 1), view.upper, view.lower)
    shown = np.where(np.eye(n_terms, dtype=bool), np.nan, shown)
    shades = LinearSegmentedColormap.from_list("ink", (PAPER, "#9db3b5", "#3f6468", "#16282b"))
    inks = shades.with_extremes(bad=RULE)
    image = ax.imshow(shown, cmap=inks, vmin=0.0, vmax=1.0, interpolation="none", aspect="equal")
    borders = [i for i in range(1, n_terms) if view.classes[i] != view.classes[i - 1]]
    for border in borders:
        ax.axhline(border - 0.5, color=ACCENT, linewidth=0.35)
        ax.axvline(border - 0.5, color=ACCENT, linewidth=0.35)
    label_terms(ax, view)
    ax.spines[:].set_visible(False)
    named = n_terms <= POPULATIONS_NAMES.most
    caption = "Order and ruled classes: pooled tree."
    if not named:
        caption += f" {n_terms:,} terms have no room for their names."
    if len(view.titles) > 1:
        above, below = (shortened(title, 70) for title in view.titles)
        ax.set_title(f"above the diagonal: {above}", fontsize=8, loc="right", pad=4)
        ax.set_xlabel(
            f"below the diagonal: {below}", fontsize=8, loc="left", fontweight="bold", labelpad=4
        )
        if named:
            caption += " Coloured: changes class; bold: placed differently."
    draw_scale(fig, image, caption)


def draw_scale(fig: "Figure", image: "AxesImage", caption: str) -> None:
    """Draw the scale of shades under the matrix, with a caption."""
    fig.text(MATRIX[0], 0.02, caption, fontsize=6.5, color=MUTED)
    bar = fig.add_axes((0.545, 0.026, 0.105, 0.011))
    fig.colorbar(image, cax=bar, orientation="horizontal", ticks=(0, 0.5, 1))
    bar.tick_params(labelsize=6, length=2, pad=1)
    bar.set_title("share who put both terms together", fontsize=6, fontweight="normal", pad=2)


def label_terms(ax: "Axes", view: PopulationsView) -> None:
    """Write every term beside its row; those that differ stand out."""
    n_terms = len(view.terms)
    ax.set(xticks=[], yticks=[])
    if n_terms > POPULATIONS_NAMES.most:
        return
    size = min(print_of(n_terms), LABEL_POINTS)
    room = int(MATRIX[0] * WIDTH_MM / (CHARACTER_WIDTH * size * POINT_MM))
    labels = [shortened(label, room) for label in view.terms]
    differing = {one.label for one in view.differences if one.differs}
    marked = differing.union(view.changing)
    colors = [ACCENT if label in marked else INK for label in view.terms]
    weights = ["bold" if label in differing else "normal" for label in view.terms]
    name_rows(ax, labels, size, colors=colors, weights=weights)


def print_of(n_terms: int) -> float:
    """Return how large a term could be printed beside its row, in points."""
    return 0.88 * HEIGHT_MM * MATRIX[3] / POINT_MM / n_terms


def draw_criteria(
    ax: "Axes", criteria: Sequence[Mapping[str, Any]], sample: Mapping[str, Any] | None = None
) -> None:
    """List every criterion with its value, its margin and whether it is met."""
    ax.set_axis_off()
    ax.set_title("What the verdict rests on", fontsize=TITLE_POINTS, pad=3)
    if sample is not None:
        ax.text(0.0, -0.09, people_drawn(sample), fontsize=6.5, va="top", color=MUTED)
    said, shown = words.answers(criteria), words.asked(criteria)
    for row, criterion in enumerate(shown):
        y = 0.93 - row / (len(shown) - 0.4)
        answer, counts = said[criterion["key"]]
        ax.text(0.0, y, words.SHORT_QUESTIONS[criterion["key"]], fontsize=7, va="center")
        ax.text(0.71, y, number_text(criterion["value"]), fontsize=7, va="center", ha="right")
        margin = f"{SIGNS[criterion['comparison']]} {number_text(criterion['margin'])}"
        ax.text(0.74, y, margin, fontsize=7, va="center", color=MUTED)
        weight = "bold" if counts == "fail" else "normal"
        ink = {"pass": INK, "fail": ACCENT, "aside": MUTED}[counts]
        ax.text(1.0, y, answer, fontsize=7, va="center", ha="right", fontweight=weight, color=ink)
    ax.set(xlim=(0, 1), ylim=(0, 1))


def people_drawn(sample: Mapping[str, Any]) -> str:
    """Return what is said of people drawn for tests of people."""
    drawn, people = (sum(sample[name].values()) for name in ("drawn", "of"))
    return f"Tests of people are of {drawn:,}, drawn from {people:,}."


def draw_ceiling(ax: "Axes", view: PopulationsView) -> None:
    """Draw the observed correlation against that of random splits of the same people."""
    observed = view.record["noise_ceiling"]["observed_r"]
    known = view.splits[np.isfinite(view.splits)]
    ax.set_title("Agreement of the two matrices (r)", fontsize=TITLE_POINTS, pad=3)
    if observed is None or not len(known):
        ax.set_axis_off()
        ax.text(0, 0.8, "Too few people to be told.", fontsize=7, va="top")
        return
    ax.hist(known, bins=30, color="#9db3b5", edgecolor=PAPER, linewidth=0.3)
    low, high = min(known.min(), observed), max(known.max(), observed)
    room = max(high - low, 0.02)
    ax.set_xlim(low - 0.12 * room, high + 0.12 * room)
    top = ax.get_ylim()[1] * 1.3
    ax.set_ylim(0, top)
    ax.axvline(observed, color=ACCENT, linewidth=1.6)
    left = observed < (low + high) / 2
    ax.annotate(
        f"the populations: {observed:.3f}",
        (observed, top),
        xytext=(4 if left else -4, -2),
        textcoords="offset points",
        fontsize=7,
        color=ACCENT,
        ha="left" if left else "right",
        va="top",
        fontweight="bold",
    )
    ax.set_yticks([])
    ax.spines["left"].set_visible(False)
    ax.tick_params(labelsize=7, length=2)
    ax.set_xlabel(
        f"{len(known)} random splits of the same people (5, 50, 95 %: "
        + ", ".join(f"{value:.3f}" for value in np.quantile(known, (0.05, 0.5, 0.95)))
        + ")",
        fontsize=6.5,
    )


def draw_differences(ax: "Axes", view: PopulationsView) -> None:
    """Name the terms by how differently they are placed, beyond granularity."""
    rows = view.differences[:SHOWN_TERMS]
    n_differing = sum(one.differs for one in view.differences)
    alpha = view.record["terms"]["alpha"]
    title = f"{counted(n_differing, 'term')} placed differently, p at most {alpha:g}"
    ax.figure.text(0.69, 0.434, title, fontsize=TITLE_POINTS, fontweight="bold")
    for row, (_label, difference, p_value, differs) in enumerate(rows):
        colour = ACCENT if differs else MUTED
        ax.plot((0, difference), (row, row), color=colour, linewidth=1.0)
        ax.plot(difference, row, "o", color=colour, markersize=3)
        ax.text(1.04, row, f"p {p_value:.4f}", transform=ax.get_yaxis_transform(), fontsize=6.5,
                va="center", color=colour)  # fmt: skip
    ax.set_yticks(range(len(rows)), [shortened(label, 24) for label, *_ in rows], fontsize=6.5)
    for tick, (*_, differs) in zip(ax.get_yticklabels(), rows, strict=True):
        tick.set_color(ACCENT if differs else INK)
        tick.set_fontweight("bold" if differs else "normal")
    ax.set_ylim(len(rows) - 0.5, -0.5)
    ax.set_xlim(left=0)
    ax.tick_params(length=2, labelsize=6.5)
    ax.spines["left"].set_visible(False)
    ax.set_xlabel("mean difference of shares", fontsize=6.5)


def draw_changes(fig: "Figure", view: PopulationsView) -> None:
    """List the terms that change class between the populations' own charts."""
    tier = view.record["consequence"]["class"]
    expected = tier["n_changing_in_random_splits"]
    heading = f"{counted(tier['n_changing'], 'term')} in another class of the other's chart"
    fig.text(0.69, 0.15, heading, fontsize=TITLE_POINTS, fontweight="bold", va="top")
    noise = (
        f"Random splits of the same people: {expected['50']:.0f} "
        f"(5 to 95 %: {expected['5']:.0f} to {expected['95']:.0f})."
    )
    listed = ", ".join(view.changing) if view.changing else "None."
    lines = [noise, *wrapped(listed, WRAP, 7)]
    fig.text(0.69, 0.128, "\n".join(lines), fontsize=6.5, va="top", linespacing=1.3)


def wrapped(text: str, width: int, most: int) -> list[str]:
    """Return text in lines of at most `width` characters; what does not fit ends in dots."""
    import textwrap

    return textwrap.wrap(text, width, max_lines=most, placeholder=" ...")


def shortened(text: str, most: int) -> str:
    """Return text of at most `most` characters."""
    return text if len(text) <= most else text[: max(most - 1, 1)] + "…"


def counted(number: int, noun: str) -> str:
    """Return a number with its noun; none is "No"."""
    return f"{number or 'No'} {noun}{'' if number == 1 else 's'}"


def number_text(value: float | None) -> str:
    """Return a criterion's value or margin as short as it can be read."""
    if value is None:
        return "unknown"
    return f"{value:.4g}" if abs(value) < 0.01 or float(value).is_integer() else f"{value:.3f}"
