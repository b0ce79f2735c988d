"""How stable the matrix and the tiers are, against the number of participants."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from textwrap import fill
from typing import TYPE_CHECKING, Any

from felloe.ground.drawing import CLASS_CYCLE, INK, MUTED, RULE, figure
from felloe.ground.files.tables import Row

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

WIDTH_MM, HEIGHT_MM = 260, 106
TOP_MM, FOOT_MM = 9.6, 28.4  # room above the panels, and below them for axes and legends
BAND_ALPHA = 0.22
LABEL_WIDTH = 16  # characters in a line
MATRIX_COLOUR, CLASS_COLOUR, SUBCLASS_COLOUR = CLASS_CYCLE[1], CLASS_CYCLE[0], CLASS_CYCLE[4]


Band = tuple[float, float, float]  # low, median, high
Point = tuple[int, float, float, float]  # participants, low, median, high


@dataclass(frozen=True)
class HalvesView:
    """How far the halves of a population agree, and what that says of all of it."""

    label: str
    participants: int
    split_half_correlation: Band
    reliability: Band


@dataclass(frozen=True)
class StabilityView:
    """
    What is drawn.

    Attributes
    ----------
    halves : list of HalvesView
        One per population.
    curve : dict of str to list of Point
        By quantity.
    predicted : list of (participants, reliability)
        Spearman-Brown, for growing numbers of participants.
    participants : int
        Those of the study.
    target : float
    classes, subclasses : int
    """

    halves: list[HalvesView]
    curve: dict[str, list[Point]]
    predicted: list[tuple[float, float]]
    participants: int
    target: float
    classes: int
    subclasses: int


def stability_view(
    rows: Iterable[Row],
    record: Mapping[str, Any],
    labels: Mapping[str, str],
    predicted: list[tuple[float, float]],
) -> StabilityView:
    """
    Return what is drawn of the stability.

    Parameters
    ----------
    rows : iterable of dict
        Rows of `validation/stability.csv`.
    record : mapping
        `validation/stability.json`.
    labels : mapping of str to str
        Of the populations and of all of them, in the order in which they are drawn. Where there
        is one population, all of them is the same and stands alone.
    predicted : list of (participants, reliability)
    """
    bands: dict[str, dict[str, Point]] = {}
    curve: dict[str, list[Point]] = {}
    for row in rows:
        point = (row["participants"], row["low"], row["median"], row["high"])
        if row["quantity"] in ("split_half_correlation", "reliability"):
            bands.setdefault(row["population"], {})[row["quantity"]] = point
        else:
            curve.setdefault(row["quantity"], []).append(point)
    halves = [
        HalvesView(
            labels[name],
            bands[name]["reliability"][0],
            bands[name]["split_half_correlation"][1:],
            bands[name]["reliability"][1:],
        )
        for name in labels
        if name in bands
    ]
    everybody = record["plans"][-1]
    return StabilityView(
        halves=halves if len(halves) > 2 else halves[-1:],
        curve=curve,
        predicted=predicted,
        participants=everybody["participants"],
        target=everybody["target"],
        classes=record["cuts"]["classes"],
        subclasses=record["cuts"]["subclasses"],
    )


def draw_stability(view: StabilityView) -> "Figure":
    """
    Draw split halves by population, the learning curve of the matrix, and that of the tiers.

    Parameters
    ----------
    view : StabilityView

    Returns
    -------
    Figure
    """
    fig = figure(WIDTH_MM, HEIGHT_MM)
    left, middle, right = fig.subplots(1, 3, gridspec_kw={"width_ratios": [1.0, 1.25, 1.25]})
    draw_halves(left, view.halves)
    draw_matrix_curve(middle, view)
    draw_tier_curves(right, view)
    top, bottom = 1 - TOP_MM / HEIGHT_MM, FOOT_MM / HEIGHT_MM
    fig.subplots_adjust(left=0.105, right=0.985, top=top, bottom=bottom, wspace=0.24)
    words = "lines and bands: the middle nine tenths of the repeats; points: their median"
    fig.text(0.985, 0.025, words, ha="right", fontsize=7)
    return fig


def draw_halves(ax: "Axes", halves: list[HalvesView]) -> None:
    """Draw the correlation of halves and the stepped-up reliability of each population."""
    for row, group in enumerate(halves):
        for shift, band, words, colour, marker in (
            (-0.13, group.split_half_correlation, "two halves", MUTED, "o"),
            (0.13, group.reliability, "stepped up to all", MATRIX_COLOUR, "D"),
        ):
            low, median, high = band
            ax.plot([low, high], [row + shift] * 2, color=colour, linewidth=1.6)
            label = words if row == 0 else None
            ax.plot(
                median, row + shift, marker, color=colour, markersize=4.5, label=label, linestyle=""
            )
    labels = [f"{fill(group.label, LABEL_WIDTH)}\n(n = {group.participants})" for group in halves]
    ax.set_yticks(range(len(halves)), labels, color=INK)
    ax.set_ylim(len(halves) - 0.4, -0.6)
    ax.set_xlabel("correlation of matrices")
    ax.set_title("Split halves")
    ax.grid(axis="x", color=RULE, linewidth=0.5)
    ax.tick_params(axis="y", length=0)
    legend_below(ax, 0.4)


def draw_matrix_curve(ax: "Axes", view: StabilityView) -> None:
    """Draw the correlation of two separate samples, and what more people would give."""
    draw_band(ax, view.curve["matrix_correlation"], MATRIX_COLOUR, "two separate samples")
    with_all = view.curve["matrix_correlation_with_all"]
    ax.plot(
        [point[0] for point in with_all],
        [point[2] for point in with_all],
        color=MUTED,
        linewidth=1,
        linestyle=(0, (1, 1.5)),
        label="sample with all (flatters)",
    )
    ax.plot(
        *zip(*view.predicted, strict=True),
        color=MATRIX_COLOUR,
        linewidth=1.2,
        linestyle=(0, (5, 2)),
        label="expected by Spearman–Brown",
    )
    label = f"target {view.target:g}"
    ax.axhline(view.target, color=INK, linewidth=0.6, linestyle=(0, (8, 4)), zorder=1, label=label)
    mark_participants(ax, view.participants)
    finish(ax, "Matrix of co-occurrence", "correlation")


def draw_tier_curves(ax: "Axes", view: StabilityView) -> None:
    """Draw the agreement of the tiers of two separate samples."""
    draw_band(ax, view.curve["class_agreement"], CLASS_COLOUR, f"{view.classes} classes", "o")
    draw_band(
        ax, view.curve["subclass_agreement"], SUBCLASS_COLOUR, f"{view.subclasses} subclasses", "s"
    )
    finish(ax, "Tiers of two separate samples", "adjusted Rand index")


def draw_band(ax: "Axes", points: list[Point], colour: str, label: str, marker: str = "o") -> None:
    """Draw a median with the band that holds nine tenths of the repeats."""
    participants, low, median, high = zip(*points, strict=True)
    ax.fill_between(participants, low, high, color=colour, alpha=BAND_ALPHA, linewidth=0)
    ax.plot(participants, median, marker=marker, markersize=3.5, color=colour, label=label)


def mark_participants(ax: "Axes", participants: int) -> None:
    """Mark the number of participants that the study has."""
    ax.axvline(participants, color=INK, linewidth=0.8, zorder=0)
    ax.annotate(
        f"this study: {participants}",
        (participants, 0),
        xycoords=("data", "axes fraction"),
        xytext=(3, 4),
        textcoords="offset points",
        fontsize=7,
    )


def finish(ax: "Axes", title: str, quantity: str) -> None:
    """Give a panel its axes, and its legend below them."""
    ax.set_title(title)
    ax.set_xlabel("participants in each sample")
    ax.set_ylabel(quantity)
    ax.set_xlim(left=0)
    low = min(0.0, ax.get_ylim()[0])
    ax.set_ylim(low, 1.0)
    ax.grid(color=RULE, linewidth=0.5)
    legend_below(ax)


def legend_below(ax: "Axes", middle: float = 0.5) -> None:
    """Put the legend below the axes, where it covers nothing; `middle` is a share of the width."""
    ax.legend(
        loc="upper center",
        bbox_to_anchor=(middle, -0.155),
        ncols=2,
        frameon=False,
        fontsize=7,
        columnspacing=1.4,
    )
