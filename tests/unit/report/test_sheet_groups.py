"""A group with a centre of its own stands where a sheet with that centre would have it."""

import numpy as np
import pytest
from felloe.report.sheet.pdf import pdf_of
from felloe.report.sheet.raster import png_of, shapes
from felloe.report.sheet.shapes import ArcText, Group, Sheet, Text, disc, sector, shifted
from felloe.report.sheet.svg import svg_of
from felloe.report.typeface.shaping import typesetter

CENTRE = (50.0, 40.0)


def parts():
    return [
        sector(20.0, 30.0, 10.0, 250.0, fill="#336699"),
        disc((5.0, -5.0), 3.0, fill="#993333"),
        Text("level", 1.0, 2.0, 4.0, "#000000", turn=30.0),
        ArcText("along", 25.0, 40.0, False, 4.0, "#000000"),
    ]


def sheet(centre, *inside):
    body = Group("sheet")
    body.add(*inside)
    return Sheet(100.0, 80.0, centre, "title", "told", "en", body)


def both():
    inner = Group("inner", at=CENTRE)
    inner.add(*parts())
    return sheet((0.0, 0.0), inner), sheet(CENTRE, *parts())


def points(drawn):
    return np.array(
        [
            (step[1][at], step[1][at + 1])
            for shape in shapes(drawn, typesetter())
            for step in shape.steps
            if step[0] != "A"
            for at in range(0, len(step[1]), 2)
        ]
    )


@pytest.mark.parametrize("made", [pdf_of, lambda one, setter: png_of(one, setter, dpi=72)])
def test_pdf_and_picture_are_those_of_a_sheet_with_that_centre(made):
    one, other = both()
    assert made(one, typesetter()) == made(other, typesetter())


def test_svg_moves_the_group():
    one, _ = both()
    assert '<g id="inner" transform="translate(50 40)">' in svg_of(one, typesetter())


def test_groups_in_groups_add_up():
    inner, outer = Group("inner", at=(30.0, 15.0)), Group("outer", at=(20.0, 25.0))
    inner.add(*parts())
    outer.add(inner)
    found = points(sheet((0.0, 0.0), outer))
    assert found == pytest.approx(points(both()[0]))


def test_an_arc_stays_a_part_of_its_circle():
    moved = shifted(sector(20.0, 30.0, 0.0, 100.0), CENTRE)
    ends = np.array([step[1][-2:] for step in moved.steps if step[1]])
    radii = np.hypot(*(ends - CENTRE).T)
    assert {round(one, 6) for one in radii.tolist()} == {20.0, 30.0}
    assert "A" not in {step[0] for step in moved.steps}


def test_nothing_is_changed_that_stays():
    shape = sector(20.0, 30.0, 0.0, 100.0)
    assert shifted(shape, (0.0, 0.0)) is shape
