"""The cards as files: pages of A6 with live text, the same each time, written whole or not."""

import os
import re
import subprocess
import sys
from copy import deepcopy
from pathlib import Path

import pytest
from card_example import LETTERING, chart_with, prose, setter_of, term
from card_reading import in_order, outlined, page_of, pages_of, squeezed, texts_of
from felloe.errors import StudyError
from felloe.ground.files.records import read_json, write_json
from felloe.report.cards.pdf import cards_pdf
from felloe.report.steps.write_cards import main
from pypdf import PdfReader
from small_study import TERMS

ROOT = Path(__file__).parents[3]


@pytest.fixture(scope="module")
def made(chart):
    return pages_of(chart, ("Wear gloves.",))


def shown_colour(colour):
    """Return the colour that people picked, None where they picked none or two."""
    return None if colour["reason"] == "tint_two_groups" else colour["picked"]


def test_every_page_is_a6_upright_in_all_its_boxes(made):
    # ISO 216: A6 is 105 x 148 mm; a point of PDF is 1/72 inch
    for page in made[0].pages:
        for box in (page.mediabox, page.cropbox, page.trimbox):
            assert float(box.width) == pytest.approx(105 / 25.4 * 72, abs=0.01)
            assert float(box.height) == pytest.approx(148 / 25.4 * 72, abs=0.01)


def test_every_term_has_its_page_in_the_charts_order_behind_the_divider_of_its_class(made, chart):
    _, texts = made
    at = 0
    for class_ in chart["classes"]:
        assert squeezed(class_["name"]) in texts[at]
        assert all(squeezed(each["name"]) in texts[at] for each in class_["subclasses"])
        at += 1
        for subclass in class_["subclasses"]:
            for each in subclass["terms"] + subclass["absorbed"]:
                for text in (each["label"], each["definition"], each["reference"]):
                    assert squeezed(text) in texts[at]
                assert squeezed(class_["name"]) in texts[at]
                picked = shown_colour(each["colour"])
                assert (picked or "colour") in texts[at]
                assert picked or not re.search("#[0-9a-f]{6}", texts[at])
                assert ("Doubtful" in texts[at]) == (each["status"] == "doubtful")
                at += 1
    assert at == len(texts)


def test_cautions_stand_on_every_page(made):
    for text in made[1]:
        assert "Declareallergensfirst." in text
        assert "Wear gloves.".replace(" ", "") in text


def test_title_language_and_outline_are_set(made, chart):
    reader, _ = made
    assert chart["title"] in reader.metadata.title
    assert reader.trailer["/Root"]["/Lang"] == "en"
    top, below = outlined(reader)
    assert top == [class_["name"] for class_ in chart["classes"]]
    assert below == [each["label"] for _, _, each in in_order(chart)]


def test_the_language_is_that_of_the_chart():
    reader, _ = pages_of(chart_with([term("a")], language="de"))
    assert reader.trailer["/Root"]["/Lang"] == "de"
    assert '<html lang="de">' in page_of(chart_with([term("a")], language="de"))


def test_every_font_is_embedded_as_a_subset(made):
    fonts = [
        font.get_object() for page in made[0].pages for font in page["/Resources"]["/Font"].values()
    ]
    assert fonts
    for font in fonts:
        described = font["/DescendantFonts"][0].get_object()["/FontDescriptor"]
        assert "/FontFile2" in described
        assert re.match(r"/[A-Z]{6}\+", font["/BaseFont"])


def test_every_word_of_long_texts_is_in_the_pdf_in_order():
    told = {"definition": prose(1500, 1), "reference": prose(900, 2), "caution": prose(1200, 3)}
    _, texts = pages_of(chart_with([term("a", **told)]))
    whole = "".join(texts[1:])
    for text in told.values():
        at = 0
        for word in text.split():
            assert (at := whole.find(word, at)) >= 0, word


def test_the_number_in_the_corner_runs_forwards():
    _, pages = pages_of(chart_with([term(name) for name in "abc"]))
    assert [f"{at}/3" in page for at, page in enumerate(pages)] == [False, True, True, True]


def test_the_same_bytes_come_each_time_whatever_the_hash_seed(tmp_path):
    script = (
        "import sys; sys.path[:0] = ['scripts', 'tests'];"
        "from card_example import *; from felloe.report.cards.pdf import cards_pdf;"
        "from felloe.report.cards.page import cards_page; import hashlib;"
        "deck = setter_of(chart_with([term('a'), term('b', label='\\u05e9\\u05d5\\u05dd')])).deck;"
        "made = cards_pdf(deck, LETTERING) + cards_page(deck, LETTERING).encode();"
        "print(hashlib.sha256(made).hexdigest())"
    )
    said = {
        subprocess.run(
            [sys.executable, "-c", script],
            cwd=ROOT,
            env={**os.environ, "PYTHONHASHSEED": seed, "TZ": zone},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed, zone in (("1", "UTC"), ("2", "Asia/Tokyo"))
    }
    assert len(said) == 1


def test_the_step_writes_both_or_nothing(tmp_path, chart):
    paths = {name: str(tmp_path / name) for name in ("chart", "about", "page", "sheets")}
    write_json(paths["chart"], chart)
    write_json(paths["about"], {"cautions": ["Wear gloves."]})
    main(**paths, fonts=[])
    assert Path(paths["sheets"]).read_bytes() == cards_pdf(
        setter_of(chart, ("Wear gloves.",)).deck, LETTERING
    )
    assert "Wear gloves." in Path(paths["page"]).read_text(encoding="utf-8")
    for name in ("page", "sheets"):
        Path(paths[name]).unlink()
    chart = deepcopy(chart)
    chart["classes"][0]["subclasses"][0]["terms"][0]["label"] = "\u65e5"
    write_json(paths["chart"], chart)
    with pytest.raises(StudyError):
        main(**paths, fonts=[])
    assert not Path(paths["page"]).exists()
    assert not Path(paths["sheets"]).exists()


def test_a_whole_study_makes_them_and_its_manifest_lists_them(small_results):
    listed = read_json(small_results / "manifest.json")["outputs"]
    assert {"report/cards.html", "report/cards.pdf"} <= set(listed)
    chart = read_json(small_results / "report" / "chart.json")
    reader = PdfReader(small_results / "report" / "cards.pdf")
    texts = texts_of(reader)
    terms = [each["label"] for _, _, each in in_order(chart)]
    assert len(terms) == len(TERMS)
    assert len(texts) == len(terms) + len(chart["classes"])
    assert all("Weargloves." in text for text in texts)
    page = (small_results / "report" / "cards.html").read_text(encoding="utf-8")
    assert page.count("Wear gloves.") == len(texts) + 1
    report = (small_results / "report" / "report.html").read_text(encoding="utf-8")
    assert "<li>Wear gloves.</li>" in report
