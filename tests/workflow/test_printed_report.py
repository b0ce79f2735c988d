"""The report on paper: one page of summary, the questions next, and no half-empty pages."""

import os
import re
import shutil
import subprocess

import pytest
from PIL import Image
from pypdf import PdfReader

STUDIES = ("brine-2016", "brine-2026")
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome")
SWITCHES = ("--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer")
A4 = (595, 842)  # points
TOP, BOTTOM = 16 / 297, 18 / 297  # margins of the page, as shares of its height
LEAST = 0.4  # of a page that has to be filled


@pytest.fixture(scope="module", params=STUDIES)
def printed(request, demo, tmp_path_factory):
    """The report of a study as the browser prints it."""
    found = next(filter(None, map(shutil.which, BROWSERS)), None)
    if found is None:
        say = pytest.fail if os.environ.get("FELLOE_BROWSER") == "required" else pytest.skip
        say("there is no Chromium here, so the report was not printed")
    page = demo / request.param / "report" / "report.html"
    path = tmp_path_factory.mktemp("printed") / "report.pdf"
    command = [found, *SWITCHES, f"--print-to-pdf={path}", page.resolve().as_uri()]
    subprocess.run(command, check=True, capture_output=True, timeout=300)
    return path


@pytest.fixture(scope="module")
def texts(printed):
    return [" ".join(page.extract_text().split()) for page in PdfReader(printed).pages]


def page_of(texts, mark):
    """Return on which page something first stands, from 1."""
    return next(number for number, text in enumerate(texts, 1) if mark in text)


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


def test_no_page_but_the_last_is_nearly_empty(printed, tmp_path):
    if shutil.which("pdftoppm") is None:
        pytest.skip("there is no pdftoppm here, so pages were not looked at")
    command = ["pdftoppm", "-r", "30", "-gray", "-png", printed, tmp_path / "page"]
    subprocess.run(command, check=True)
    pages = sorted(tmp_path.glob("*.png"), key=lambda path: int(re.findall(r"\d+", path.stem)[-1]))
    filled = [share_filled(path) for path in pages]
    assert len(filled) == len(PdfReader(printed).pages)
    assert [(n, share) for n, share in enumerate(filled[:-1], 1) if share < LEAST] == []


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
