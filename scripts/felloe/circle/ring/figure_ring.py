"""The evidence of the ring: classes around the circle, how sure their neighbours are, the map."""

import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from felloe.circle import figure_words
from felloe.circle.map.figure_map import MapView, draw_terms, in_millimetres
from felloe.circle.ring.ring_numbers import (
    INNER,
    OUTER,
    SHOWN,
    Point,
    Spans,
    Support,
    at,
    chords_of,
    middle_of,
    neighbours_of,
    place_numbers,
)
from felloe.comparison.provisional_words import marked
from felloe.ground.drawing import ACCENT, INK, MUTED, PAPER, RULE, figure

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

WIDTH_MM, HEIGHT_MM = 260, 168
LOWEST = -56.0  # of a label, mm
OWN = "this order"


@dataclass(frozen=True)
class RingView:
    """
    What the figure shows.

    Attributes
    ----------
    spans : Spans
        In the order of the ring.
    support : Support
    map : MapView
    record : mapping
        `order.json`.
    """

    spans: Spans
    support: Support
    map: MapView
    record: Mapping[str, Any]


def draw_ring(view: RingView) -> "Figure":
    """
    Draw the ring, the map beside it, and the lengths below.

    Parameters
    ----------
    view : RingView

    Returns
    -------
    matplotlib.figure.Figure
    """
    fig = figure(WIDTH_MM, HEIGHT_MM)
    title = marked("Evidence of the order", view.map.provisional)
    fig.text(8 / WIDTH_MM, 1 - 9 / HEIGHT_MM, title, fontsize=12, weight="bold")
    ring = fig.add_axes((4 / WIDTH_MM, 38 / HEIGHT_MM, 136 / WIDTH_MM, 116 / HEIGHT_MM))
    ring.set(xlim=(-68, 68), ylim=(-58, 58))
    ring.axis("off")
    draw_band(ring, view)
    draw_supports(ring, view)
    write_reading(fig, view)
    beside = fig.add_axes((146 / WIDTH_MM, 44 / HEIGHT_MM, 108 / WIDTH_MM, 100 / HEIGHT_MM))
    draw_beside(beside, view)
    lengths = fig.add_axes((14 / WIDTH_MM, 14 / HEIGHT_MM, 232 / WIDTH_MM, 13 / HEIGHT_MM))
    draw_lengths(lengths, view.record)
    return fig


def write_reading(fig: "Figure", view: RingView) -> None:
    """Say how to read the numbers."""
    text = figure_words.bars_and_lines(view.record["adjacency"]["weak_below"], SHOWN)
    for number, line in enumerate(textwrap.wrap(text, 96)):
        y = 1 - (14 + 3.6 * number) / HEIGHT_MM
        fig.text(8 / WIDTH_MM, y, line, fontsize=7, color=MUTED)


def draw_band(ax: "Axes", view: RingView) -> None:
    """Draw the classes as pieces of a band, their names outside."""
    from matplotlib.patches import Wedge

    for name, (start, end) in view.spans.items():
        ax.add_patch(
            Wedge(
                (0, 0),
                OUTER,
                90 - end,
                90 - start,
                width=OUTER - INNER,
                facecolor=view.map.colours[name],
                edgecolor=INK,
                lw=0.4,
            )
        )
    write_names(ax, view)


def write_names(ax: "Axes", view: RingView) -> None:
    """Write the names of classes outside the band, on each side from top to bottom."""
    sides: dict[int, list[tuple[float, float, list[str], tuple[float, float]]]] = {1: [], -1: []}
    for name, span in view.spans.items():
        x, y = at(OUTER + 6.5, middle_of(span))
        lines = textwrap.wrap(view.map.names[name], 17) or [name]
        sides[1 if x >= 0 else -1].append((y, x, lines, span))
    for sign, entries in sides.items():
        entries.sort(key=lambda entry: -entry[0])
        places = spread([entry[0] for entry in entries], [3.1 * len(e[2]) for e in entries])
        for (_, x, lines, span), place in zip(entries, places):
            reach = max(abs(x), 6.0)
            start = at(OUTER + 0.6, middle_of(span))
            ax.plot([start[0], sign * reach], [start[1], place], color=RULE, lw=0.6, zorder=0)
            ax.text(
                sign * (reach + 0.8),
                place,
                "\n".join(lines).replace("$", r"\$"),
                ha="left" if sign > 0 else "right",
                va="center",
                fontsize=7,
                linespacing=1.05,
            )


def spread(places: Sequence[float], heights: Sequence[float]) -> list[float]:
    """Push label places, from top to bottom, apart until none overlaps the one above."""
    placed = list(places)
    for i in range(1, len(placed)):
        placed[i] = min(placed[i], placed[i - 1] - (heights[i - 1] + heights[i]) / 2 - 0.8)
    if placed and placed[-1] < LOWEST:
        placed[-1] = LOWEST
        for i in range(len(placed) - 2, -1, -1):
            placed[i] = max(placed[i], placed[i + 1] + (heights[i] + heights[i + 1]) / 2 + 0.8)
    return placed


def draw_supports(ax: "Axes", view: RingView) -> None:
    """Write how often two classes are neighbours: at their gap, else on a line between them."""
    weak_below = view.record["adjacency"]["weak_below"]
    bars = neighbours_of(view.spans, view.support)
    chords = chords_of(view.spans, view.support)
    places = place_numbers(bars, chords)
    for (share, _, ends), place in zip(bars, places):
        colour = ACCENT if share < weak_below else INK
        ax.plot(*zip(*ends), color=colour, lw=0.6 + 2.0 * share, zorder=3)
        write_number(ax, place, share, 6.5, colour)
    for (share, curve), place in zip(chords, places[len(bars) :]):
        ax.plot(*curve.T, color=MUTED, lw=4 * share, alpha=0.35, zorder=0)
        write_number(ax, place, share, 6, MUTED)


def write_number(ax: "Axes", place: Point, share: float, size: float, colour: str) -> None:
    """Write a share on a patch of paper."""
    box = {"facecolor": PAPER, "edgecolor": "none", "pad": 0.4}
    style: dict[str, Any] = {
        "ha": "center",
        "va": "center",
        "fontsize": size,
        "color": colour,
        "zorder": 4,
    }
    ax.text(*place, f"{share:.2f}", bbox=box, **style)


def draw_beside(ax: "Axes", view: RingView) -> None:
    """Draw the map in the same colours, with the ring's order laid over the classes' middles."""
    shown = view.map
    scale, origin, extent = in_millimetres(shown.points, 108, 100, margin=9)
    ax.set(xlim=(0, extent[0]), ylim=(0, extent[1]), xticks=[], yticks=[])
    for side in ax.spines.values():
        side.set(visible=True, color=RULE)
    draw_terms(ax, shown, scale, origin, ellipses=False)
    classes = np.array(shown.classes)
    middles = [shown.points[classes == name].mean(axis=0) * scale + origin for name in view.spans]
    around = np.array([*middles, middles[0]])
    ax.plot(*around.T, color=INK, lw=0.7, alpha=0.5, zorder=2)
    ax.set_title("The same classes on the map, joined in the order of the ring", fontsize=8)
    text = figure_words.agreement_beside(view.record["agreement_with_map"])
    ax.set_xlabel("\n".join(textwrap.wrap(text, 82)), fontsize=7, color=MUTED, loc="left")


def draw_lengths(ax: "Axes", record: Mapping[str, Any]) -> None:
    """Draw the length of the order on a line with what it is to be compared with."""
    marks = [
        (record["length_free_tour"], "best tour found\nwithout the tree", -1),
        (record["length"], OWN, 1),
        (record["length_random_mean"], "random drawings", 1),
        (record["length_dendrogram_order"], "dendrogram as built", -1),
        (record["length_worst"], "longest drawing", 1),
    ]
    values = [value for value, _, _ in marks]
    low, high = min(values), max(values)
    room = 0.06 * (high - low) or 1.0
    ax.set(xlim=(low - room, high + room), ylim=(-2.6, 2.6), yticks=[])
    ax.spines[["left", "bottom"]].set_visible(False)
    ax.set_xticks([])
    ax.axhline(0, color=RULE, lw=1)
    sd = record["length_random_sd"]
    mean = record["length_random_mean"]
    ax.plot([mean - 2 * sd, mean + 2 * sd], [0, 0], color=MUTED, lw=3, solid_capstyle="butt")
    for value, label, side in marks:
        draw_mark(ax, value, label, side, label == OWN)
    write_price(ax, record)


def draw_mark(ax: "Axes", value: float, label: str, side: int, own: bool) -> None:
    """Mark a length on the line, its label above (side 1) or below (-1)."""
    colour = ACCENT if own else INK
    ax.plot([value], [0], "o", ms=5 if own else 3.5, color=colour, zorder=3)
    ax.text(
        value,
        0.55 * side,
        f"{label} {value:.2f}",
        ha="center",
        va="bottom" if side > 0 else "top",
        fontsize=6.5,
        color=colour,
        weight="bold" if own else "normal",
    )


def write_price(ax: "Axes", record: Mapping[str, Any]) -> None:
    """Say what the lengths are, what the tree costs, and how many orders tie."""
    ax.text(0, 1.12, figure_words.price(record), transform=ax.transAxes, fontsize=7, color=MUTED)
