"""The report on paper: one page of summary, the questions next, and no half-empty pages."""

import re
import shutil
import subprocess
import unicodedata
from html import unescape

import pytest
import yaml
from felloe.report.tones import TONES
from felloe.settings import DEFAULTS
from PIL import Image
from pypdf import PdfReader
from report_example import change_record, copied, told

STUDIES = ("brine-2016", "brine-2026")
A4 = (595, 842)  # points
TOP, BOTTOM = 16 / 297, 18 / 297  # margins of the page, as shares of its height
LEAST = 0.4  # of a page that has to be filled


@pytest.fixture(scope="module", params=STUDIES)
def report(request, demo):
    """The report of a study."""
    return demo / request.param / "report" / "report.html"


@pytest.fixture(scope="module")
def printed(report, browser, tmp_path_factory):
    """The report as the browser prints it, told to leave backgrounds out."""
    return print_to(tmp_path_factory.mktemp("printed") / "report.pdf", browser, report)


def print_to(path, browser, report):
    """Print a report, and return where."""
    page = browser.new_page()
    page.goto(report.resolve().as_uri())
    page.pdf(path=path, prefer_css_page_size=True, print_background=False)
    page.close()
    return path


def drawn(path, folder, *options):
    """Return the pages as pictures, in their order."""
    if shutil.which("pdftoppm") is None:
        pytest.skip("there is no pdftoppm here, so pages were not looked at")
    subprocess.run(["pdftoppm", "-r", "30", "-png", *options, path, folder / "page"], check=True)
    number = re.compile(r"(\d+)\.png$")
    return sorted(folder.glob("*.png"), key=lambda one: int(number.search(one.name)[1]))


@pytest.fixture(scope="module")
def texts(printed):
    return texts_of(printed)


def texts_of(printed):
    """Return what every page says."""
    return [plain(page.extract_text()) for page in PdfReader(printed).pages]


def plain(text):
    """Return a text on one line, ligatures taken apart."""
    return " ".join(unicodedata.normalize("NFKC", text).split())


def headings(page):
    """Return the headings behind the summary: every section with its number, and what it holds."""
    found, number = [], 0
    main = page[page.index("<main") :]
    for level, inside in re.findall(r"<h([23])\b[^>]*>(.*?)</h\1>", main, re.DOTALL):
        number += level == "2"
        text = plain(unescape(re.sub("<[^>]*>", "", inside)))
        found.append(f"{number}. {text}" if level == "2" else text)
    return found


def page_of(texts, mark):
    """Return on which page something first stands, from 1."""
    return next(number for number, text in enumerate(texts, 1) if mark in text)


# a chart is provisional or overridden, not both; a setting may stand above it all the same
WARNED = {
    "provisional": ({"provisional": True}, "Provisional: whether"),
    "overridden": (
        {"override": "always", "override_reason": "One chart is wanted. " * 20},
        "The reason given: One chart",
    ),
}


@pytest.mark.parametrize("warned", WARNED)
def test_with_all_its_warnings_the_summary_is_one_page(demo, browser, tmp_path, warned):
    changes, mark = WARNED[warned]
    settings = yaml.safe_load(DEFAULTS.read_text(encoding="utf-8"))["comparison"]
    for study in STUDIES:
        folder = copied(demo / study, tmp_path / study)
        change_record(folder, "comparison/chart.json", preview=True, source="pooled", **changes)
        change_record(folder, "comparison/populations.json", verdict="cannot_tell")
        told(folder, comparison={**settings, "pooling": "always"})
        pdf = print_to(tmp_path / f"{study}.pdf", browser, folder / "report.html")
        texts = texts_of(pdf)
        for told_first in ("PREVIEW", mark, "Before you use it", "more for an auditor"):
            assert page_of(texts, told_first) == 1
        assert page_of(texts, "1. The wheel") == 2


def test_pages_are_a4(printed):
    boxes = {tuple(round(side) for side in page.mediabox[2:]) for page in PdfReader(printed).pages}
    assert all(abs(box[0] - A4[0]) < 2 and abs(box[1] - A4[1]) < 2 for box in boxes)


def test_the_summary_is_one_page_and_the_wheel_comes_next(texts):
    for mark in ("Who sorted", "May the populations be pooled?", "What this rests on"):
        assert page_of(texts, mark) == 1
    assert page_of(texts, "Before you use it") == 1
    assert page_of(texts, "1. The wheel") == 2


def test_the_questions_come_on_page_two_or_three(texts):
    assert page_of(texts[1:], "Where does each of these terms belong?") + 1 in (2, 3)


def test_contents_and_words_are_printed(texts):
    assert page_of(texts, "For an auditor") <= 2
    assert any("what comes back in most redraws" in text for text in texts)


def test_every_heading_is_printed_and_none_stands_last_on_a_page(report, texts):
    wanted = headings(report.read_text(encoding="utf-8"))
    assert len(wanted) > 30
    # the list of contents numbers its entries too, so that a section is found twice
    numbered = [text for text in wanted if re.match(r"\d+\. ", text)]
    found = " ".join(texts)
    missing = [text for text in wanted if found.count(text) < 1 + (text in numbered)]
    assert missing == []
    assert [text for text in wanted if any(page.endswith(text) for page in texts)] == []


def test_no_page_but_the_last_is_nearly_empty(printed, tmp_path):
    assert nearly_empty(printed, tmp_path) == []


def nearly_empty(printed, folder):
    """Return the pages but the last that are filled less than they have to be, from 1."""
    filled = [share_filled(path) for path in drawn(printed, folder, "-gray")]
    assert len(filled) == len(PdfReader(printed).pages)
    return [(n, share) for n, share in enumerate(filled[:-1], 1) if share < LEAST]


@pytest.fixture(scope="module")
def pair(demo):
    """The report of two editions compared."""
    return demo / "editions" / "--".join(STUDIES) / "report.html"


def test_two_editions_compared_are_printed_without_empty_pages_or_lone_headings(
    pair, browser, tmp_path
):
    path = print_to(tmp_path / "pair.pdf", browser, pair)
    assert nearly_empty(path, tmp_path) == []
    texts = texts_of(path)
    ends = [re.sub(r"\W*\d+ / \d+$", "", text) for text in texts]
    heads = re.findall(r"<h[23]\b[^>]*>(.*?)</h", pair.read_text(encoding="utf-8"))
    assert [head for head in heads if any(end.endswith(plain(head)) for end in ends)] == []
    # the line under the page does not stand alone on the last one
    assert not re.match(r"(\d+ / \d+ )?Every number on this page", texts[-1])


def test_what_a_sentence_rests_on_is_printed_smaller_and_cards_fill_their_rows(pair, browser):
    page = browser.new_page()
    page.emulate_media(media="print")
    page.goto(pair.resolve().as_uri())
    sizes = page.evaluate(
        "['#verdict + p', '#verdict + p + .path'].map("
        "(at) => parseFloat(getComputedStyle(document.querySelector(at)).fontSize))"
    )
    columns = page.evaluate(
        "[...document.querySelectorAll('header .brief')].map((box) => [box.children.length, "
        "getComputedStyle(box).gridTemplateColumns.split(' ').length])"
    )
    page.close()
    assert sizes[1] < sizes[0]
    assert [cards % number for cards, number in columns] == [0] * len(columns)


def test_a_table_wider_than_the_window_shows_that_it_goes_on(pair, browser):
    page = browser.new_page(viewport={"width": 500, "height": 800})
    page.goto(pair.resolve().as_uri())
    wide = page.evaluate(
        "[...document.querySelectorAll('table')].map((table) => table.closest('.scroll')).filter("
        "(box) => box.scrollWidth > box.clientWidth).map((box) => [getComputedStyle(box)"
        ".overflowX, getComputedStyle(box).backgroundAttachment])"
    )
    beyond = page.evaluate("document.documentElement.scrollWidth")
    page.close()
    assert beyond <= 500
    assert len(wide) > 1
    assert all(way == "auto" and "local" in moves and "scroll" in moves for way, moves in wide)


def share_filled(path):
    """Return how far down the room of a page something stands."""
    with Image.open(path) as page:
        width, height = page.size
        room = page.crop((0, round(TOP * height), width, round((1 - BOTTOM) * height)))
        box = room.point(lambda grey: 255 if grey < 200 else 0).getbbox()
        return box[3] / room.size[1] if box else 0.0


def test_an_empty_page_would_be_seen(tmp_path):
    Image.new("L", (248, 351), 255).save(tmp_path / "empty.png")
    assert share_filled(tmp_path / "empty.png") == 0.0


def test_backgrounds_that_mean_something_are_printed(printed, tmp_path):
    first = drawn(printed, tmp_path, "-l", "1")[0]
    ground = tuple(bytes.fromhex(TONES["ground"].removeprefix("#")))
    with Image.open(first) as page:
        colours = {colour: n for n, colour in page.convert("RGB").getcolors(2**24)}
        room = page.size[0] * page.size[1]
    assert colours.get(ground, 0) > room / 100
