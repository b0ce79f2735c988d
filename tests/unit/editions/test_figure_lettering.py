"""Text of the picture of two columns: every line within its room, and no word lost for nothing."""

import pytest
from felloe.editions.columns.figure_lettering import block
from felloe.ground.drawing import POINT_MM, figure, width_of
from matplotlib.backends.backend_agg import FigureCanvasAgg

LONG = "freshly cut summer watermelon with its rind, chilled"
ROOM, SIZES = (37.0, 3.4), (6.5, 4.0)


def drawn_size(lines, points, weight):
    """Return what a canvas says of lines that are drawn, in millimetres."""
    fig = figure(200, 100)
    fig.set_dpi(150)  # of a picture that is saved
    canvas = FigureCanvasAgg(fig)
    text = fig.text(0, 0, "\n".join(lines), fontsize=points, weight=weight, linespacing=1.2)
    box = text.get_window_extent(canvas.get_renderer())
    return [side / fig.dpi * 25.4 for side in (box.width, box.height)]


@pytest.mark.parametrize("weight", ["normal", "bold"])
@pytest.mark.parametrize("text", ["salt", LONG, "Schwefelwasserstoffgeruch " * 2, "W" * 80])
def test_a_text_has_its_room(text, weight):
    lines, size = block(text.strip(), ROOM, SIZES, weight)
    wide, high = drawn_size(lines, size, weight)
    assert wide <= ROOM[0]
    assert high <= ROOM[1] + size * POINT_MM  # a line's own reach over and under its letters
    assert SIZES[1] <= size <= SIZES[0]


def test_a_short_text_is_set_at_its_usual_size_in_one_line():
    assert block("salt", ROOM, SIZES) == (["salt"], 6.5)


def test_a_long_text_is_broken_before_it_is_cut():
    lines, size = block(LONG, ROOM, SIZES)
    assert " ".join(lines) == LONG
    assert size < 6.5
    assert len(lines) > 1


def test_what_has_no_room_at_all_ends_in_a_sign():
    lines, size = block("W" * 80, ROOM, SIZES)
    assert size == 4.0
    assert lines[-1].endswith("\u2026")
    assert width_of(lines[-1], size) <= ROOM[0]
