"""The figures about the people: what they show is what they were given, and nothing is cut off."""

import numpy as np
import pytest
from felloe.validation.screened.figure_granularity import draw_granularity, joined_bars
from felloe.validation.screened.figure_granularity import granularity_view as view_of
from felloe.validation.stability.figure_reliability import HalvesView, StabilityView, draw_stability
from hypothesis import given
from hypothesis import strategies as st

LEAST = 3
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


def granularity_view(labels, n=30, shown=None):
    rng = np.random.default_rng(1)
    people = [
        {"status": "kept", "population": label, "n_piles": piles, "pairs_together_share": 1 / piles}
        for label in dict.fromkeys(labels)
        for piles in rng.integers(3, 40, n).tolist()
    ]
    return view_of(people, {label: label for label in labels}, 96, LEAST, shown)


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


@given(st.lists(st.integers(1, 60), min_size=1, max_size=40), st.integers(2, 6))
def test_every_bar_holds_enough_people_and_everybody_is_in_one(values, least):
    values = np.array(values, dtype=float)
    edges, counts = joined_bars(values, 5.0, least)
    assert all(n >= least for n in counts)
    assert sum(counts) == (len(values) if len(values) >= least else 0)
    inside = [int(((low <= values) & (values < high)).sum()) for low, high in edges]
    assert inside == counts
    assert all(edge % 5 == 0 for pair in edges for edge in pair)


def test_the_lowest_value_does_not_follow_from_where_the_bars_begin():
    pairs = 66  # of 12 terms
    alike = [(11, 30 / pairs)] * 11
    seen = []
    for lowest in ((8, 4 / pairs), (9, 5 / pairs)):
        people = [
            {"status": "kept", "population": "a", "n_piles": n, "pairs_together_share": share}
            for n, share in (*alike, lowest)
        ]
        seen.append(view_of(people, {"a": "A"}, 12, LEAST))
    assert seen[0] == seen[1]


def test_the_figure_draws_bars_and_quartiles_and_nobody():
    people = [
        {"status": "kept", "population": "a", "n_piles": n, "pairs_together_share": n / 100}
        for n in (3, 3, 3, 9, 9, 9, 17, 17, 17, 23, 23, 31)
    ]
    view = view_of(people, {"a": "A"}, 96, 3)
    for axes, bars in zip(draw_granularity(view).axes, (view.n_piles, view.pairs_together)):
        assert not axes.collections  # no dots
        assert len(axes.patches) == len(bars[0].counts)
        assert sum(int(text.get_text()) for text in axes.texts) == len(people)
        (line, dot) = axes.lines
        assert len(line.get_xdata()) == 2
        assert len(dot.get_xdata()) == 1
        assert 31 not in line.get_xdata()


def test_the_curve_is_drawn_at_the_medians():
    view = stability_view(["Women"])
    middle = draw_stability(view).axes[1]
    (line,) = [line for line in middle.lines if line.get_label() == "two separate samples"]
    assert line.get_xydata().tolist() == [[5, 0.5], [20, 0.75], [35, 0.85]]


def test_of_sorts_in_parts_piles_are_drawn_as_of_equal_numbers_of_terms():
    # the same way of sorting, of six and of twelve terms: two in every pile
    people = [
        {"status": "kept", "population": name, "n_piles": piles, "pairs_together_share": 0.1,
         "pile_sizes": ";".join(["2"] * piles)}
        for name, piles in (("a", 3), ("b", 6)) for _ in range(9)
    ]  # fmt: skip
    whole = view_of(people, {"a": "A", "b": "B"}, 40, LEAST)
    parts = view_of(people, {"a": "A", "b": "B"}, 40, LEAST, partial=True)
    assert [bars.quartiles[1] for bars in whole.n_piles] == [3, 6]
    # of six of twelve terms: 6 piles, each missed with the chance C(10, 6) / C(12, 6) = 5 / 22
    assert [bars.quartiles[1] for bars in parts.n_piles] == pytest.approx([3, 6 * 17 / 22])
    assert "40" not in parts.title
    assert (whole.whole, parts.whole) == (True, False)
