"""What the figure of the sensitivity shows."""

import numpy as np
from felloe.ground.drawing import figure
from felloe.ground.groups.partition import Partition
from felloe.ground.many_terms import Limit
from felloe.ground.terms import Terms
from felloe.sensitivity import figures
from felloe.sensitivity.figures import draw_levels, draw_shares, sensitivity_page
from felloe.sensitivity.universes import LevelShares


def texts(ax):
    return [text.get_text() for text in ax.texts]


def test_shares_below_one_are_printed():
    fig = figure(200, 100)
    bars, grid = fig.subplots(1, 2)
    draw_shares(bars, ["ash", "beet"], np.array([0.25, 1.0]), ["#000000", "#111111"])
    draw_levels(grid, [("linkage", "ward"), ("n_classes", "5")], np.ones((2, 2)))
    assert texts(bars) == ["25", "ash", "beet"]
    assert texts(grid) == ["ward", "5", "linkage", "classes"]


def test_of_many_terms_the_least_settled_are_drawn_and_the_figure_says_so(monkeypatch):
    terms = Terms(f"t{one:02d}" for one in range(9))
    share = np.linspace(1.0, 0.2, 9)  # the last is the least settled
    found = LevelShares(terms, share, (("linkage", "ward"),), share[:, None])
    home = Partition(terms, np.zeros(9, dtype=int))
    labels = {term: term.upper() for term in terms}
    for most, shown in ((9, terms[::-1]), (4, terms[:4:-1])):
        monkeypatch.setattr(figures, "SENSITIVITY_ROWS", Limit("bars", most, "terms", "few"))
        fig = sensitivity_page(found, home, labels, ["#123456"], "Title")
        assert [one for one in texts(fig.axes[0]) if one.startswith("T")] == [
            labels[one] for one in shown
        ]
        told = [
            text.get_text() for text in fig.texts if "keep their class least" in text.get_text()
        ]
        assert len(told) == (most < 9)
        assert all("4 of 9 terms" in one for one in told)
