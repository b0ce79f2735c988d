"""The files of a sheet, read by programs that others made."""

import copy
import io
import re
from xml.etree import ElementTree

import pypdf
import pytest
from felloe.report.chart import chart_terms, write_chart
from felloe.report.sheet.name_fitting import has_name, is_lone
from felloe.report.sheet.pdf import pdf_of
from felloe.report.sheet.sheets import wall_sheet
from felloe.report.steps.draw_wheel import main as draw
from felloe.report.typeface.faces import FACES
from felloe.report.typeface.shaping import Typesetter, typesetter
from PIL import Image
from test_chart import chart_of

SVG = "{http://www.w3.org/2000/svg}"
POINT = 72 / 25.4
# SVG 2, W3C Candidate Recommendation 2018: elements that a static picture needs (from memory)
KNOWN = {"svg", "g", "path", "text", "textPath", "title", "desc", "rect", "style"}
NAMES = ("svg", "pdf", "png", "outlined", "svg_a4", "pdf_a4")


def files(folder, chart, bleed=0.0):
    folder.mkdir(exist_ok=True)
    write_chart(folder / "chart.json", chart)
    paths = {name: folder / f"wheel.{name}" for name in NAMES}
    draw(chart=folder / "chart.json", fonts=[], bleed_mm=bleed, weak=0.5, **paths)
    return paths


@pytest.fixture(scope="module")
def chart(tmp_path_factory):
    return chart_of(tmp_path_factory.mktemp("chart"), n_classes=6, n_terms=40)


@pytest.fixture(scope="module")
def drawn(tmp_path_factory, chart):
    return files(tmp_path_factory.mktemp("sheet"), chart, bleed=3.0)


def shown_groups(chart):
    """Return the classes and subclasses whose names are set."""
    for class_ in chart["classes"]:
        if class_["start_deg"] is not None and not is_lone(class_):
            yield "class", class_
        for subclass in class_["subclasses"]:
            if has_name(subclass, class_):
                yield "subclass", subclass


@pytest.mark.parametrize("name", ["svg", "outlined", "svg_a4"])
def test_an_svg_is_well_formed_and_holds_nothing_foreign(drawn, name):
    root = ElementTree.parse(drawn[name]).getroot()
    assert {element.tag.removeprefix(SVG) for element in root.iter()} <= KNOWN
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    assert len(ids) == len(set(ids))
    assert not [v for e in root.iter() for v in e.attrib.values() if "http" in v]
    numbers = " ".join(element.get("d", "") for element in root.iter())
    assert not re.search(r"nan|inf", numbers)


@pytest.mark.parametrize(("name", "size"), [("svg", (297, 420)), ("svg_a4", (210, 297))])
def test_the_paper_has_its_size_by_iso_216(drawn, name, size):
    root = ElementTree.parse(drawn[name]).getroot()
    assert (root.get("width"), root.get("height")) == tuple(f"{each}mm" for each in size)
    assert root.get("viewBox") == f"0 0 {size[0]} {size[1]}"


def test_every_group_has_its_name_and_says_what_it_is(drawn, chart):
    root = ElementTree.parse(drawn["svg"]).getroot()
    groups = {g.get("id"): g for g in root.iter(f"{SVG}g") if g.get("id")}
    for class_, subclass, term in chart_terms(chart):
        path = [f"class-{class_['id']}", f"subclass-{subclass['id']}", f"term-{term['id']}"]
        inside = groups[path[0]]
        for step in path[1:]:
            inside = next(g for g in inside.iter(f"{SVG}g") if g.get("id") == step)
        assert term["label"] in inside.find(f"{SVG}title").text


def test_labels_are_live_text(drawn, chart):
    root = ElementTree.parse(drawn["svg"]).getroot()
    for _, _, term in chart_terms(chart):
        group = next(g for g in root.iter(f"{SVG}g") if g.get("id") == f"term-{term['id']}")
        said = " ".join("".join(text.itertext()) for text in group.iter(f"{SVG}text"))
        assert said == term["label"]


def test_the_printers_twin_has_no_text_and_needs_no_font(drawn):
    root = ElementTree.parse(drawn["outlined"]).getroot()
    assert {"text", "textPath", "style"}.isdisjoint(
        element.tag.removeprefix(SVG) for element in root.iter()
    )
    assert "font" not in drawn["outlined"].read_text(encoding="utf-8")


def test_both_twins_have_the_same_groups(drawn):
    named = [
        [g.get("id") for g in ElementTree.parse(drawn[name]).getroot().iter(f"{SVG}g")]
        for name in ("svg", "outlined")
    ]
    assert named[0] == named[1]


@pytest.mark.parametrize(("name", "size"), [("pdf", (297, 420)), ("pdf_a4", (210, 297))])
def test_the_boxes_of_a_page_say_where_to_trim(drawn, name, size):
    page = pypdf.PdfReader(drawn[name]).pages[0]
    wide, high = ((each + 6.0) * POINT for each in size)
    assert [float(v) for v in page.mediabox] == pytest.approx([0, 0, wide, high], abs=0.01)
    assert [float(v) for v in page.bleedbox] == pytest.approx([0, 0, wide, high], abs=0.01)
    trim = [3.0 * POINT, 3.0 * POINT, wide - 3.0 * POINT, high - 3.0 * POINT]
    assert [float(v) for v in page.trimbox] == pytest.approx(trim, abs=0.01)


def test_without_bleed_all_boxes_are_the_paper(tmp_path, chart):
    page = pypdf.PdfReader(files(tmp_path, chart)["pdf"]).pages[0]
    for box in (page.mediabox, page.bleedbox, page.trimbox):
        found = [float(v) for v in box]
        assert found == pytest.approx([0, 0, 297 * POINT, 420 * POINT], abs=0.01)


@pytest.mark.parametrize("name", ["pdf", "pdf_a4"])
def test_terms_and_names_are_found_in_a_pdf_by_their_text(drawn, chart, name):
    text = pypdf.PdfReader(drawn[name]).pages[0].extract_text()
    for _, _, term in chart_terms(chart):
        assert all(word in text for word in term["label"].split())
    for tier, group in shown_groups(chart):
        assert all(word in text for word in group["name"].split()), (tier, group["name"])


def test_every_font_of_a_pdf_is_embedded(drawn):
    reader = pypdf.PdfReader(drawn["pdf"])
    fonts = reader.pages[0]["/Resources"]["/Font"]
    assert len(fonts) >= 3
    for font in fonts.values():
        (inner,) = font.get_object()["/DescendantFonts"]
        assert "/FontFile2" in inner.get_object()["/FontDescriptor"].get_object()


def test_a_pdf_tells_its_title_and_language_and_no_date(drawn, chart):
    reader = pypdf.PdfReader(drawn["pdf"])
    assert reader.metadata.title == chart["title"]
    assert reader.root_object["/Lang"] == "en"
    assert reader.metadata.creation_date.year == 2000


def test_a_picture_has_three_hundred_dots_to_an_inch(drawn):
    with Image.open(drawn["png"]) as picture:
        assert picture.size == (int(297 / 25.4 * 300), int(420 / 25.4 * 300))


def test_a_picture_is_neither_blank_nor_inked_all_over(drawn):
    grey = Image.open(io.BytesIO(drawn["png"].read_bytes())).convert("L").resize((297, 420))
    inked = sum(1 for value in grey.get_flattened_data() if value < 250) / (297 * 420)
    assert 0.05 < inked < 0.4


def test_the_same_bytes_come_again(drawn, chart, tmp_path):
    again = files(tmp_path, chart, bleed=3.0)
    assert [n for n in NAMES if drawn[n].read_bytes() != again[n].read_bytes()] == []


def test_lines_of_a_pdf_are_as_wide_as_they_were_planned(chart, monkeypatch):
    # fpdf2's own measure of each line that it writes, with what is switched on just then
    from fpdf import FPDF

    written, setter = [], typesetter()
    plain = FPDF.text

    def spy(self, x, y, text=""):
        written.append((text, self.get_string_width(text), self.font_size, self.font_family))
        return plain(self, x, y, text)

    monkeypatch.setattr(FPDF, "text", spy)
    kerned = copy.deepcopy(chart)
    for _, _, term in chart_terms(kerned):
        term["label"] = "AVATAR To We"
    pdf_of(wall_sheet(kerned, setter, 0.5), setter)
    of_terms = [width / size for text, width, size, _ in written if text == "AVATAR To We"]
    planned = [setter.width("AVATAR To We", face) for face in FACES]
    assert len(of_terms) >= 40
    assert all(min(abs(width - one) for one in planned) < 2e-3 for width in of_terms)


def test_fonts_of_like_names_are_told_apart_in_a_pdf(tmp_path, chart):
    from felloe.report.typeface.faces import behind_folder

    for name in ("My-Font.ttf", "MyFont.ttf", "+.ttf"):
        source = "DejaVuSans.ttf" if name == "My-Font.ttf" else "STIXGeneral.ttf"
        (tmp_path / name).write_bytes((behind_folder() / source).read_bytes())
    setter = Typesetter((tmp_path / "My-Font.ttf", tmp_path / "MyFont.ttf", tmp_path / "+.ttf"))
    odd = copy.deepcopy(chart)
    first, second, *_ = [term for _, _, term in chart_terms(odd)]
    first["label"], second["label"] = "\u05d0\u05d1", "\u2a6f\u2a70"
    text = pypdf.PdfReader(io.BytesIO(pdf_of(wall_sheet(odd, setter, 0.5), setter))).pages[0]
    assert "\u2a6f\u2a70" in text.extract_text()
