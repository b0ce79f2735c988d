"""How far from its floor each hand is: one line a kernel."""

from benchmarks.side_by_side.kernel import OURS, R
from felloe.ground.drawing import ACCENT, INK, MUTED, RULE, figure

ROW_MM, TOP_MM, BOTTOM_MM = 7.0, 26.0, 16.0
WIDE_MM, LABELS_MM, RIGHT_MM = 190.0, 74.0, 8.0
SIGNS = ("s", "D")  # of the other sides, in their order
OF_R = "^"
KEY = {
    "o": OURS,
    "s": "what a scripter writes with NumPy, SciPy or Python",
    "D": "another way to write it",
    OF_R: "what a scripter writes in R",
}


def signs_of(one):
    """Return the sign of every side of a kernel but ours, by name."""
    others = [name for name in one.seconds if name != OURS]
    given = dict(zip([name for name in others if name != R], SIGNS))
    return given | {name: OF_R for name in others if name == R}


def draw_kernels(found):
    """
    Draw every side's time over the floor of its kernel, on a logarithmic scale.

    Parameters
    ----------
    found : sequence of Measured
    """
    high = TOP_MM + BOTTOM_MM + ROW_MM * len(found)
    fig = figure(WIDE_MM, high)
    ax = fig.add_axes(
        (
            LABELS_MM / WIDE_MM,
            BOTTOM_MM / high,
            (WIDE_MM - LABELS_MM - RIGHT_MM) / WIDE_MM,
            ROW_MM * len(found) / high,
        )
    )
    ax.set_xscale("log")
    for row, one in enumerate(found):
        above = {name: spent / one.floor for name, spent in one.seconds.items()}
        ax.plot([1, max(above.values())], [row, row], color=RULE, lw=1, zorder=1)
        for name, sign in signs_of(one).items():
            ax.plot(above[name], row, sign, color=MUTED, mfc="white", ms=4.5, zorder=2)
        ax.plot(above[OURS], row, "o", color=ACCENT, ms=5.5, zorder=3)
    ax.set_yticks(
        range(len(found)), [f"{one.kernel.name}\n{one.kernel.size}" for one in found], fontsize=6.3
    )
    ax.set_ylim(len(found) - 0.5, -0.5)
    ax.set_xlim(left=min(0.8, *(one.above_floor / 1.3 for one in found)))
    ax.xaxis.set_major_formatter(lambda value, _: f"{value:g}")
    ax.axvline(1, color=INK, lw=0.8, zorder=0)
    ax.tick_params(axis="y", length=0)
    ax.set_xlabel("processor time of a unit over that of its counted floor (1: the floor itself)")
    key(fig, high, found)
    return fig


def key(fig, high, found):
    """Write the title and what the signs stand for."""
    left = 4 / WIDE_MM
    fig.text(left, 1 - 6 / high, "How far from the floor, one core", fontsize=10, weight="bold")
    drawn = {"o", *(sign for one in found for sign in signs_of(one).values())}
    told = {sign: words for sign, words in KEY.items() if sign in drawn}
    for number, (sign, words) in enumerate(told.items()):
        own = sign == "o"
        at = (4.5 + 1) / WIDE_MM, 1 - (10.5 + 3.6 * number) / high
        fig.add_artist(lone(sign, *at, color=ACCENT if own else MUTED, hollow=not own))
        fig.text(at[0] + 3 / WIDE_MM, at[1], words, fontsize=7, va="center", color=MUTED)


def lone(sign, x, y, color, hollow):
    """Return one sign at a place of the whole figure."""
    from matplotlib.lines import Line2D

    face = "white" if hollow else color
    return Line2D([x], [y], marker=sign, color=color, mfc=face, ms=4.5, ls="none")
