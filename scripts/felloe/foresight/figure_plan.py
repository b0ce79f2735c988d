"""What studies of every size would show: reliability, groups that come back, movement seen."""

import math
import textwrap
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from felloe.ground.drawing import CLASS_CYCLE, INK, MUTED, RULE, figure
from felloe.ground.files.tables import Row

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

WIDTH_MM, HEIGHT_MM = 260, 118
LINE = 195  # characters of a line below the panels
NEAR = 0.1  # of the width of a panel: numbers of people that are nearer are not all written
MARKERS = "osD^vP"
PANELS = (
    ("Reliability", "reliability"),
    ("Classes and subclasses that come back", "classes"),
    ("Smallest movement seen", "moved_share"),
)
DASHED = {  # what else stands in a panel, and how the two are told apart
    "reliability": ("smaller_reliability", "line: everybody, dashes: the smaller population"),
    "classes": ("subclasses", "line: classes, dashes: subclasses (adjusted Rand)"),
}


def draw_plan(rows: Sequence[Row], n_terms: int, sentence: str, margin: float) -> "Figure":
    """
    Draw a plan.

    Parameters
    ----------
    rows : sequence of dict
        Rows of `plan.csv`.
    n_terms : int
    sentence : str
        What stands below, folded here.
    margin : float
        Reliability that pooling takes of each population.
    """
    fig = figure(WIDTH_MM, HEIGHT_MM)
    panels = fig.subplots(1, 3)
    fig.subplots_adjust(left=0.05, right=0.985, top=0.915, bottom=0.4, wspace=0.22)
    for panel, (title, name) in zip(panels, PANELS, strict=True):
        panel.set_title(title)
        draw_panel(panel, rows, name, n_terms)
    panels[0].axhline(margin, color=MUTED, linewidth=1.2)
    look: dict[str, Any] = {"fontsize": 6.5, "color": MUTED, "va": "bottom"}
    fig.text(0.05, 0.03, textwrap.fill(sentence, LINE), **look)
    handles, labels = panels[0].get_legend_handles_labels()
    fig.legend(
        handles, labels, loc="lower left", bbox_to_anchor=(0.045, 0.2), ncols=6, frameon=False
    )
    return fig


def draw_panel(panel: "Axes", rows: Sequence[Row], name: str, n_terms: int) -> None:
    """Draw one quantity against people, a line for each number of terms a person."""
    people = sorted({row["people"] for row in rows})
    for place, each in enumerate(sorted({row["terms_each"] for row in rows})):
        own = [row for row in rows if row["terms_each"] == each]
        colour, marker = CLASS_CYCLE[place % len(CLASS_CYCLE)], MARKERS[place % len(MARKERS)]
        said = "the whole lexicon" if each >= n_terms else f"{each} terms a person"
        look: dict[str, Any] = {
            "color": colour,
            "marker": marker,
            "markersize": 4,
            "linewidth": 1.2,
        }
        at = [row["people"] for row in own]
        panel.plot(at, [row[name] for row in own], label=said, **look)
        if name in DASHED:
            panel.plot(at, [row[DASHED[name][0]] for row in own], linestyle="--", **look)
        if f"{name}_low" in own[0]:
            low, high = ([row[f"{name}_{end}"] for row in own] for end in ("low", "high"))
            panel.fill_between(at, low, high, color=colour, alpha=0.15, linewidth=0)
    panel.set_xscale("log")
    panel.set_xticks(people, ticks_of(people))
    panel.minorticks_off()
    panel.set_xlabel("people")
    panel.grid(axis="y", color=RULE, linewidth=0.5)
    panel.set_ylim(0, 1.03 if name != "moved_share" else None)
    if name in DASHED:
        note: dict[str, Any] = {
            "fontsize": 6.5,
            "color": INK,
            "transform": panel.transAxes,
            "ha": "right",
        }
        panel.text(0.98, 0.04, DASHED[name][1], **note)
    if name == "moved_share":
        panel.set_ylabel("share of the terms")


def ticks_of(people: Sequence[int]) -> list[str]:
    """Return what stands below each number of people, on a logarithmic axis; nothing where full."""
    span, told, last = math.log(people[-1] / people[0]), [], -math.inf
    for number in people:
        near = math.log(number / people[0]) - last < NEAR * span
        told.append("" if near else str(number))
        last = last if near else math.log(number / people[0])
    return told
