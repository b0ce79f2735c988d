"""The picture of a timeline as it is drawn: what it says fits, and colours tell classes apart."""

import pytest
from felloe.colours.difference import difference_matrix
from felloe.colours.spaces import lab_of_hex
from felloe.ground.drawing import MM, POINT_MM, figure
from felloe.timeline.figure_timeline import (
    HEIGHT_MM,
    LEAST_POINTS,
    WIDTH_MM,
    column_places,
    draw_timeline,
    fitted,
    height_of,
    look_of,
)
from felloe.timeline.picture import Band, Member, Picture
from matplotlib.backends.backend_agg import FigureCanvasAgg

LONG = "a term with a label of very many letters that no column of a picture can have room for"


def picture_with(columns, rows=80.0, labels=("dill", "Wmmmmmmmmmmmmmmm", "illlllllllll", LONG)):
    members = tuple(
        Member(label, 2.0 + 2 * at, True, True, "robust") for at, label in enumerate(labels)
    )
    band = Band("Class of a rather long name, with more of it", 1, 0.5, 12.0, members)
    away = Band("", 0, 13.0, 15.0, (Member(LONG, 14.0, False, False, ""),))
    return Picture([[band, away]] * columns, [], rows, 3)


@pytest.mark.parametrize("columns", [3, 5, 8])
def test_every_text_of_a_column_keeps_within_it_as_it_is_rendered(columns):
    picture = picture_with(columns)
    fig = figure(WIDTH_MM, height_of(picture))
    ax = fig.add_axes((0, 0, 1, 1))
    heads = [["2016-12-24", "provisional"]] * columns
    draw_timeline(ax, picture, heads, "Words")
    starts, width = column_places(columns)
    renderer = FigureCanvasAgg(fig).get_renderer()
    boxes = [text.get_window_extent(renderer) for text in ax.texts]
    inches = [(box.x0 / fig.dpi, box.x1 / fig.dpi) for box in boxes if box.y0 / fig.dpi * 25.4 > 30]
    assert len(inches) >= columns * 10 + 1  # the title, not the key
    for left, right in inches:
        start = max(each for each in starts if each * MM <= left + 0.5 * MM)
        assert right <= (start + width + 0.5) * MM


def test_type_gets_no_smaller_than_can_be_read_and_what_is_cut_says_so():
    assert fitted("dill", 7.0, 50.0) == ("dill", 7.0)
    text, size = fitted(LONG, 7.0, 30.0)
    assert size == LEAST_POINTS
    assert text.endswith("\u2026")
    assert LONG.startswith(text[:-1])


def test_narrow_letters_are_set_larger_than_broad_ones_of_the_same_number():
    assert fitted("i" * 30, 7.0, 30.0)[1] > fitted("m" * 30, 7.0, 30.0)[1]


@pytest.mark.parametrize("rows", [20.0, 114.8, 130.0])
def test_a_picture_is_no_longer_than_a3_where_its_rows_can_be_read(rows):
    assert height_of(picture_with(3, rows)) <= HEIGHT_MM + 1e-9


def test_a_longer_picture_keeps_a_row_of_six_points():
    picture = picture_with(3, 300.0)
    assert height_of(picture) > HEIGHT_MM
    look = look_of(picture)
    assert look.points(7.0) >= 6.0
    assert look.row >= look.points(7.0) * POINT_MM


@pytest.mark.parametrize("lines", [8, 13, 20])
def test_no_two_lines_of_classes_have_one_colour(lines):
    colours = look_of(Picture([], [], 80.0, lines)).colours
    assert len(set(colours)) == lines
    among = difference_matrix(lab_of_hex(colours))
    assert min(among[i, j] for i in range(lines) for j in range(i)) >= 10.0
