"""Sheets in other scripts and with other kinds of fonts; very long titles, very many long names."""

import copy
import io
import re
from xml.etree import ElementTree

import pypdf
import pytest
from felloe.report.chart import chart_terms
from felloe.report.sheet.drawing import draw_sheet
from felloe.report.sheet.outlines import outlined
from felloe.report.sheet.paper import A3, A4
from felloe.report.sheet.pdf import pdf_of
from felloe.report.sheet.sheets import wall_sheet
from felloe.report.sheet.svg import svg_of
from felloe.report.typeface.faces import behind_folder
from felloe.report.typeface.shaping import Typesetter, typesetter
from font_files import collection, opentype
from sheet_geometry import named, own_texts, troubles
from test_chart import chart_of

GEORGIAN = "\u10db\u10df\u10d0\u10d5\u10d4"  # a word for sour, from memory; in DejaVu Sans
HEBREW = "\u05d7\u05de\u05d5\u05e5"


@pytest.fixture(scope="module")
def chart(tmp_path_factory):
    return chart_of(tmp_path_factory.mktemp("chart"), n_classes=6, n_terms=40)


@pytest.fixture(scope="module", params=["otf", "ttc"])
def setter(request, tmp_path_factory):
    folder = tmp_path_factory.mktemp("fonts")
    if request.param == "otf":
        return Typesetter((opentype(folder / "Cut.otf", GEORGIAN),))
    # the letters stand in the second font of the file
    first = opentype(folder / "First.otf", "xyz", "First")
    second = behind_folder() / "DejaVuSans.ttf"
    return Typesetter((collection(folder / "Both.ttc", first, second),))


@pytest.fixture(scope="module")
def sheet(chart, setter):
    odd = copy.deepcopy(chart)
    _, _, term = next(chart_terms(odd))
    term["label"] = GEORGIAN
    return wall_sheet(odd, setter, 0.5)


def test_letters_of_such_a_font_have_room(sheet, setter):
    assert list(troubles(sheet, setter)) == []


def test_letters_of_such_a_font_are_live_in_the_svg_with_the_font_inside(sheet, setter):
    text = svg_of(sheet, setter)
    root = ElementTree.fromstring(text)
    said = ["".join(each.itertext()) for each in root.iter("{http://www.w3.org/2000/svg}text")]
    assert GEORGIAN in said
    assert text.count("@font-face") >= 3


def curves_of(sheet, setter):
    data = pypdf.PdfReader(io.BytesIO(pdf_of(sheet, setter))).pages[0].get_contents().get_data()
    return len(re.findall(rb"\d c\s", data))


def test_letters_of_such_a_font_are_outlines_in_the_pdf_or_text(sheet, setter, chart):
    # a PDF of this kind takes no CFF font, nor one out of a collection: letters are outlines
    plain = copy.deepcopy(chart)
    _, _, term = next(chart_terms(plain))
    term["label"] = "to"
    (part,) = [p for g in named(sheet.body, "term") for p in own_texts(g) if p.text == GEORGIAN]
    curves = sum(step[0] == "C" for glyph in outlined(part, setter) for step in glyph.steps)
    assert curves > 20
    more = curves_of(sheet, setter) - curves_of(wall_sheet(plain, setter, 0.5), setter)
    text = pypdf.PdfReader(io.BytesIO(pdf_of(sheet, setter))).pages[0].extract_text()
    assert more >= curves or GEORGIAN in text


def renamed(chart, name, every=1):
    """Return a chart whose groups have another name, given by a committee."""
    odd = copy.deepcopy(chart)
    groups = [g for class_ in odd["classes"] for g in (class_, *class_["subclasses"])]
    for at, group in enumerate(groups):
        if at % every == 0:
            group["name"], group["name_is_proposal"] = name.format(at=at), False
    return odd


@pytest.mark.parametrize("form", [A3, A4], ids=lambda form: form.name)
def test_names_and_labels_that_run_from_right_to_left_have_room(chart, form):
    odd = renamed(chart, HEBREW)
    for _, _, term in chart_terms(odd):
        term["label"] = HEBREW
    odd["title"] = f"{HEBREW} 2026"
    setter = typesetter()
    drawn = draw_sheet(odd, form, setter, "A note.", "", weak=0.5)
    assert list(troubles(drawn, setter)) == []
    assert sum(p.text == HEBREW for g in named(drawn.body, "term") for p in own_texts(g)) == 39


@pytest.mark.parametrize("form", [A3, A4], ids=lambda form: form.name)
@pytest.mark.parametrize("words", [12, 60, 300])
def test_a_long_title_leaves_room_for_the_wheel(chart, form, words):
    odd = copy.deepcopy(chart)
    odd["title"] = " ".join(["vocabulary"] * words)
    setter = typesetter()
    drawn = draw_sheet(odd, form, setter, "A note.", "", weak=0.5)
    assert list(troubles(drawn, setter)) == []


@pytest.mark.parametrize("form", [A3, A4], ids=lambda form: form.name)
@pytest.mark.parametrize(("classes", "terms"), [(6, 40), (12, 110)])
def test_names_without_room_are_listed_and_those_left_out_are_counted(
    tmp_path, form, classes, terms
):
    odd = renamed(
        chart_of(tmp_path, n_classes=classes, n_terms=terms),
        "A name of a group that no committee should ever give to number {at}",
    )
    setter = typesetter()
    drawn = draw_sheet(odd, form, setter, "A note.", "", weak=0.5)
    assert list(troubles(drawn, setter)) == []
    (listed,) = named(drawn.body, "numbered")
    rows = [part.text for part in listed.parts]
    letters = [row.split()[0] for row in rows if "  " in row]
    assert len(set(letters)) == len(letters) > 4
