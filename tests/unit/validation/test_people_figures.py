"""The figures about the people: what they show is what they were given, and nothing is cut off."""

import numpy as np
import pytest
from felloe.validation.figure_granularity import GranularityView, draw_granularity
from felloe.validation.figure_reliability import HalvesView, StabilityView, draw_stability

LONG = "Association of small makers of fermented vegetables and pickles"


def stability_view(labels, participants=70):
    halves = [
        HalvesView(
            label,
            participants=20,
            split_half_correlation=(0.7, 0.75, 0.8),
            reliability=(0.82, 0.85, 0.9),
        )
        for label in labels
    ]
    points = [(5, 0.4, 0.5, 0.6), (20, 0.7, 0.75, 0.8), (35, 0.8, 0.85, 0.9)]
    names = ("matrix_correlation", "class_agreement", "subclass_agreement")
    curve = {f"{name}{suffix}": points for name in names for suffix in ("", "_with_all")}
    return StabilityView(halves, curve, [(35, 0.85), (140, 0.95)], participants, 0.95, 9, 25)


def granularity_view(labels, n=30):
    rng = np.random.default_rng(1)
    piles = [rng.integers(3, 40, n).astype(float) for _ in labels]
    return GranularityView(tuple(labels), piles, [1 / values for values in piles], 96)


def undrawn(fig):
    """Return the labels of ticks beyond the ends of their axes, which are never drawn."""
    found = set()
    for axes in fig.axes:
        for axis in (axes.xaxis, axes.yaxis):
            low, high = sorted(axis.get_view_interval())
            found |= {t.label1 for t in axis.get_major_ticks() if not low <= t.get_loc() <= high}
    return found


def texts_outside(fig):
    """Return the texts that leave the page."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.text import Text

    FigureCanvasAgg(fig).draw()
    drawn = set(fig.findobj(Text)) - undrawn(fig)
    boxes = {
        text: text.get_window_extent() for text in drawn if text.get_text() and text.get_visible()
    }
    return [
        text.get_text()
        for text, box in boxes.items()
        if not (fig.bbox.contains(*box.min) and fig.bbox.contains(*box.max))
    ]


@pytest.mark.parametrize(
    "labels",
    [["Women"], ["Makers", "All participants"], [LONG, "Judges", "Panel", "All participants"]],
)
def test_no_text_of_the_stability_figure_leaves_the_page(labels):
    assert texts_outside(draw_stability(stability_view(labels))) == []


def test_no_legend_of_the_stability_figure_covers_its_panel_or_another_text():
    fig = draw_stability(stability_view(["Women", "Men", "All participants"]))
    fig.canvas.draw()
    legends = [axes.get_legend().get_window_extent() for axes in fig.axes]
    words = [text.get_window_extent() for text in fig.texts]
    labels = [axes.xaxis.label.get_window_extent() for axes in fig.axes]
    for legend in legends:
        others = [axes.bbox for axes in fig.axes] + words + labels
        others += [other for other in legends if other is not legend]
        assert not any(legend.overlaps(other) for other in others)


@pytest.mark.parametrize(
    "labels", [["Women"], ["Makers", "Panel"], [LONG, "Judges", LONG, "Panel"]]
)
def test_no_text_of_the_granularity_figure_leaves_the_page(labels):
    assert texts_outside(draw_granularity(granularity_view(labels))) == []


def test_every_participant_is_one_dot():
    view = granularity_view(["Makers", "Panel"], n=13)
    left, right = draw_granularity(view).axes
    for axes, groups in ((left, view.n_piles), (right, view.pairs_together)):
        drawn = [dots.get_offsets()[:, 0] for dots in axes.collections]
        for dots, values in zip(drawn, groups, strict=True):
            assert sorted(dots) == sorted(values)


def test_the_curve_is_drawn_at_the_medians():
    view = stability_view(["Women"])
    middle = draw_stability(view).axes[1]
    (line,) = [line for line in middle.lines if line.get_label() == "two separate samples"]
    assert line.get_xydata().tolist() == [[5, 0.5], [20, 0.75], [35, 0.85]]
