"""What the figure of the sensitivity shows."""

import numpy as np
from felloe.ground.drawing import figure
from felloe.sensitivity.figures import draw_levels, draw_shares


def texts(ax):
    return [text.get_text() for text in ax.texts]


def test_shares_below_one_are_printed():
    fig = figure(200, 100)
    bars, grid = fig.subplots(1, 2)
    draw_shares(bars, ["ash", "beet"], np.array([0.25, 1.0]), ["#000000", "#111111"])
    draw_levels(grid, [("linkage", "ward"), ("n_classes", "5")], np.ones((2, 2)))
    assert texts(bars) == ["25", "ash", "beet"]
    assert texts(grid) == ["ward", "5", "linkage", "classes"]
