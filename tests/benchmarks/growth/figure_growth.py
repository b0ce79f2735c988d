"""Cost of every stage against terms and against people, on logarithmic scales."""

import numpy as np
from benchmarks.growth.slopes import CLAIMED, PEOPLE, TERMS, slope
from felloe.ground.drawing import CLASS_CYCLE, MUTED, RULE, figure

WIDE_MM, HIGH_MM = 240.0, 120.0
PANELS = {TERMS: 16.0, PEOPLE: 136.0}  # where each begins, from the left
PANEL_MM, BOTTOM_MM, UP_MM = 64.0, 14.0, 86.0
APART = 0.042  # of a panel's height, between the names of two lines
MARKS = "osD^vPX*<>h"


def draw_growth(cells, stages):
    """
    Draw a line a stage and axis.

    Parameters
    ----------
    cells : sequence of Cell
    stages : sequence of str
    """
    fig = figure(WIDE_MM, HIGH_MM)
    top = 1 - 5 / HIGH_MM
    fig.text(4 / WIDE_MM, top, "How the cost of every stage grows", fontsize=10, weight="bold",
             va="top")  # fmt: skip
    fig.text(
        4 / WIDE_MM, top - 6 / HIGH_MM, va="top", fontsize=7, color=MUTED,
        s="Seconds of one processor for few draws; grey: what is claimed at the most. Beside the "
        "names the power with which the cost grows over the three largest sizes.",
    )  # fmt: skip
    for axis, left in PANELS.items():
        place = left / WIDE_MM, BOTTOM_MM / HIGH_MM, PANEL_MM / WIDE_MM, UP_MM / HIGH_MM
        panel(fig.add_axes(place), [cell for cell in cells if cell.axis == axis], axis, stages)
    return fig


def panel(ax, cells, axis, stages):
    """Draw one axis."""
    ax.set_xscale("log")
    ax.set_yscale("log")
    ends = []
    for number, name in enumerate(stages):
        own = [cell for cell in cells if cell.stage == name and not cell.stopped]
        if not own:
            continue
        sizes, spent = [getattr(cell, axis) for cell in own], [cell.seconds for cell in own]
        color = CLASS_CYCLE[number % len(CLASS_CYCLE)]
        ax.plot(sizes, spent, marker=MARKS[number % len(MARKS)], color=color, ms=3.5, lw=1.2)
        cut = any(cell.stage == name and cell.stopped for cell in cells)
        ends.append((spent[-1], name, slope(sizes, spent), color, sizes[-1], cut))
    if not ends:
        return
    ticks = sorted({getattr(cell, axis) for cell in cells})
    ax.set_xticks(ticks, [f"{tick:,}" for tick in ticks], fontsize=7)
    ax.set_xticks([], minor=True)
    ax.yaxis.set_major_formatter(lambda value, _: f"{value:g}")
    other = PEOPLE if axis == TERMS else TERMS
    ax.set_xlabel(f"{axis} ({getattr(cells[0], other):,} {other})")
    ax.set_ylabel("seconds")
    guides(ax, axis, ticks)
    names(ax, ends, ticks)


def guides(ax, axis, ticks):
    """Draw what is claimed, as parallel lines."""
    low, high = ax.get_ylim()
    span = np.array([ticks[0], ticks[-1]], dtype=float)
    for begin in np.logspace(np.log10(low) - 6, np.log10(high), 15):
        ax.plot(span, begin * (span / span[0]) ** CLAIMED[axis], color=RULE, lw=0.5, zorder=0)
    ax.set_ylim(low, high)


def names(ax, ends, ticks):
    """Write the names of the lines beside them, none over another."""
    low, high = np.log(ax.get_ylim())
    ends = sorted(ends)
    wanted = [(np.log(end[0]) - low) / (high - low) for end in ends]
    for place in range(1, len(wanted)):
        wanted[place] = max(wanted[place], wanted[place - 1] + APART)
    over = max(0.0, wanted[-1] - 1.0)
    for place in range(len(wanted) - 1, -1, -1):  # those that were pushed out come down again
        wanted[place] = min(wanted[place], 1.0 - APART * (len(wanted) - 1 - place)) if over else (
            wanted[place]
        )  # fmt: skip
    for (spent, name, power, color, last, cut), at in zip(ends, wanted, strict=True):
        words = f"{name} {power:.1f}" + (", no further within the limits" if cut else "")
        ax.annotate(
            words, (last, spent), (1.04, at), textcoords="axes fraction", fontsize=6.5,
            color=color, va="center",
            arrowprops={"arrowstyle": "-", "color": color, "lw": 0.4, "shrinkA": 0, "shrinkB": 2},
        )  # fmt: skip
    ax.set_xlim(ticks[0] / 1.15, ticks[-1] * 1.15)
