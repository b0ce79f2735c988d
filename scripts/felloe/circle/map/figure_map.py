"""The map of terms: every term a dot in the colour of its class, with its bootstrap ellipse."""

import textwrap
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from felloe.circle import figure_words
from felloe.circle.map.label_placement import place_labels
from felloe.comparison.provisional_words import marked
from felloe.ground.arrays import Floats
from felloe.ground.drawing import ACCENT, INK, MUTED, POINT_MM, RULE, figure
from felloe.ground.many_terms import MAP_NAMES

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

WIDTH_MM, HEIGHT_MM = 230, 262
MARGIN_MM, TOP_MM, LEGEND_MM = 6, 18, 34
LABEL_POINTS = 6.0
POINT_SIZE = 4.5  # points


@dataclass(frozen=True)
class MapView:
    """
    What the map shows.

    Attributes
    ----------
    labels : tuple of str
    points : (n, 2) array of float
    centres, half_axes : (n, 2) array of float
        Of the ellipses.
    tilt_deg : (n,) array of float
    classes : tuple of str
        Class of every term.
    names, colours : mapping of str to str
        By class, in the order of the ring.
    record : mapping
        `map.json`.
    provisional : bool
        Whether the chart is.
    """

    labels: tuple[str, ...]
    points: Floats
    centres: Floats
    half_axes: Floats
    tilt_deg: Floats
    classes: tuple[str, ...]
    names: Mapping[str, str]
    colours: Mapping[str, str]
    record: Mapping[str, Any]
    provisional: bool = False


def draw_map(view: MapView) -> "Figure":
    """
    Draw the map.

    Parameters
    ----------
    view : MapView

    Returns
    -------
    matplotlib.figure.Figure
    """
    fig = figure(WIDTH_MM, HEIGHT_MM)
    record = view.record
    notes = [line for text in figure_words.warnings(record) for line in textwrap.wrap(text, 118)]
    bottom = MARGIN_MM + LEGEND_MM + 3.6 * len(notes)
    ax = fig.add_axes(
        (
            MARGIN_MM / WIDTH_MM,
            bottom / HEIGHT_MM,
            1 - 2 * MARGIN_MM / WIDTH_MM,
            1 - (bottom + TOP_MM) / HEIGHT_MM,
        )
    )
    scale, origin, extent = in_millimetres(
        reach_of(view), WIDTH_MM - 2 * MARGIN_MM, HEIGHT_MM - bottom - TOP_MM
    )
    ax.set(xlim=(0, extent[0]), ylim=(0, extent[1]), xticks=[], yticks=[])
    for side in ax.spines.values():
        side.set(visible=True, color=RULE)
    draw_terms(ax, view, scale, origin)
    label_terms(ax, view, view.points * scale + origin, extent)
    scale_bar(ax, scale, extent)
    headings(fig, record, view.provisional)
    class_key(fig, view, MARGIN_MM + 3.6 * len(notes))
    for number, line in enumerate(notes):
        y = (MARGIN_MM + 3.6 * (len(notes) - 1 - number)) / HEIGHT_MM
        fig.text(MARGIN_MM / WIDTH_MM, y, line, color=ACCENT, fontsize=7)
    return fig


def reach_of(view: MapView) -> Floats:
    """Return corners of everything drawn: the points, and the boxes around the ellipses."""
    tilt = np.radians(view.tilt_deg)
    long, short = view.half_axes.T
    across = np.hypot(long * np.cos(tilt), short * np.sin(tilt))
    upwards = np.hypot(long * np.sin(tilt), short * np.cos(tilt))
    half = np.stack([across, upwards], axis=1)
    return np.concatenate([view.points, view.centres - half, view.centres + half])


def in_millimetres(
    points: Floats, width: float, height: float, margin: float = 4.0
) -> tuple[float, Floats, tuple[float, float]]:
    """
    Fit points into a box, the same scale both ways.

    Returns
    -------
    scale : float
        Millimetres per unit.
    origin : (2,) array of float
        Where the zero of the map lies.
    extent : (float, float)
    """
    low, high = points.min(axis=0), points.max(axis=0)
    room = np.array([width - 2 * margin, height - 2 * margin])
    scale = float((room / np.maximum(high - low, 1e-9)).min())
    origin = np.array([width, height]) / 2 - scale * (low + high) / 2
    return scale, origin, (width, height)


def draw_terms(
    ax: "Axes", view: MapView, scale: float, origin: Floats, ellipses: bool = True
) -> None:
    """Draw dots, and faint ellipses below them."""
    from matplotlib.collections import PatchCollection
    from matplotlib.patches import Ellipse

    shades = [view.colours[name] for name in view.classes]
    if ellipses:
        centres, axes = view.centres * scale + origin, 2 * view.half_axes * scale
        outlines = [
            Ellipse(centre, long, short, angle=tilt)
            for centre, (long, short), tilt in zip(centres, axes, view.tilt_deg, strict=True)
        ]
        look: dict[str, Any] = {"facecolors": shades, "edgecolors": shades, "alpha": 0.09}
        faint = PatchCollection(outlines, zorder=1, linewidths=0.5, **look)
        ax.add_collection(faint, autolim=False)
    dots: dict[str, Any] = {"c": shades, "edgecolors": INK, "linewidths": 0.3, "zorder": 3}
    x, y = (view.points * scale + origin).T
    ax.scatter(x, y, s=POINT_SIZE**2, **dots)


def label_terms(ax: "Axes", view: MapView, places: Floats, extent: tuple[float, float]) -> None:
    """
    Write every label where it covers nothing, with a line where it had to move away.

    More than `MAP_NAMES` are not named: most names would stand far from their dots, or on others.
    """
    if len(view.labels) > MAP_NAMES.most:
        text = figure_words.NOT_NAMED.format(terms=len(view.labels))
        ax.text(0, -1.2, text, fontsize=6, color=ACCENT, va="top")
        return
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import text_to_path

    font = FontProperties(family="DejaVu Sans", size=LABEL_POINTS)
    widths = [
        text_to_path.get_text_width_height_descent(label, font, ismath=False)[0] * POINT_MM
        for label in view.labels
    ]
    sizes = np.column_stack([widths, np.full(len(widths), LABEL_POINTS * POINT_MM * 1.02)])
    centres, far = place_labels(places, sizes, (0.5, 0.5, extent[0] - 0.5, extent[1] - 0.5))
    for i, label in enumerate(view.labels):
        if far[i]:
            edge = np.clip(places[i], centres[i] - sizes[i] / 2, centres[i] + sizes[i] / 2)
            ax.plot(*zip(places[i], edge), color=MUTED, lw=0.35, zorder=2)
        x, y = centres[i].tolist()
        ax.text(
            x,
            y,
            label.replace("$", r"\$"),
            fontsize=LABEL_POINTS,
            ha="center",
            va="center_baseline",
            color=INK,
            zorder=4,
        )


def scale_bar(ax: "Axes", scale: float, extent: tuple[float, float]) -> None:
    """Draw a bar of a round length in units of the distances."""
    length = max(
        (one for one in (0.5, 0.25, 0.1, 0.05) if one * scale < extent[0] / 3), default=0.1
    )
    x, y = extent[0] - 5 - length * scale, 5
    ax.plot([x, x + length * scale], [y, y], color=INK, lw=1.0, solid_capstyle="butt")
    ax.text(
        x + length * scale / 2, y + 1, f"distance {length:g}", ha="center", va="bottom", fontsize=6
    )


def headings(fig: "Figure", record: Mapping[str, Any], provisional: bool) -> None:
    """Write the title and what the map is worth."""
    kind = "ordinal scaling" if record["type"] == "ordinal" else "metric scaling"
    left = MARGIN_MM / WIDTH_MM
    title = marked("Map of terms", provisional)
    fig.text(left, 1 - 8 / HEIGHT_MM, title, fontsize=12, weight="bold")
    restarts, null = record["restart_agreement"], record["null"]
    level = record["ellipses"]["level"]
    line = (
        f"Two dimensions, {kind}. Stress-1 {record['stress_1']:.3f}; without structure "
        f"{null['mean']:.3f} (p = {null['p']:.3f}). Agreement of directions between starts "
        f"{restarts['median']:.2f}. Ellipses: {100 * level:.0f} % of redrawn maps."
    )
    fig.text(left, 1 - 13.5 / HEIGHT_MM, line, fontsize=7, color=MUTED)


def class_key(fig: "Figure", view: MapView, bottom: float) -> None:
    """Name the colours, in the order of the ring, in columns."""
    columns = 3
    rows = -(-len(view.names) // columns)
    step = min(5.5, (LEGEND_MM - 8) / rows)
    for number, (name, shown) in enumerate(view.names.items()):
        column, row = divmod(number, rows)
        x = (MARGIN_MM + column * (WIDTH_MM - 2 * MARGIN_MM) / columns) / WIDTH_MM
        y = (bottom + LEGEND_MM - 7 - step * row) / HEIGHT_MM
        fig.text(x, y, "●", color=view.colours[name], fontsize=9, va="center")
        fig.text(x + 5 / WIDTH_MM, y, shown.replace("$", r"\$"), fontsize=7.5, va="center")
