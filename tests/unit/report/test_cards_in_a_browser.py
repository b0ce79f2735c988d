"""The page of cards in a real browser: prints as the PDF does, is quiet, open to everybody."""

import shutil
from io import BytesIO

import pytest
from card_example import LETTERING, chart_with, prose, setter_of, term
from felloe.report.cards.page import cards_page
from pypdf import PdfReader

BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser"))), None)
STATUSES = ("firm", "doubtful", "undecided", "moved")
LENGTHS = [0, 40, *range(150, 1501, 150), 4000]

pytestmark = pytest.mark.skipif(BROWSER is None, reason="there is no Chromium here")


@pytest.fixture(scope="module")
def setter():
    terms = [
        term(
            f"t{length}",
            definition=prose(length, length),
            caution=None if at % 3 == 0 else prose(10 + 20 * at, 1),
            status=STATUSES[at % 4],
        )
        for at, length in enumerate(LENGTHS)
    ]
    return setter_of(chart_with(terms, preview=True), ["Wear gloves.", "No flames."])


@pytest.fixture(scope="module")
def place(setter, tmp_path_factory):
    path = tmp_path_factory.mktemp("browser") / "cards.html"
    path.write_text(cards_page(setter.deck, LETTERING), encoding="utf-8")
    return path.as_uri()


@pytest.fixture(scope="module")
def browser():
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=BROWSER, args=["--no-sandbox"])
        yield opened
        opened.close()


def test_it_prints_the_same_cards_on_as_many_sheets_of_a6(browser, place, setter):
    page = browser.new_page()
    page.goto(place)
    printed = PdfReader(BytesIO(page.pdf(prefer_css_page_size=True, print_background=True)))
    page.close()
    sheets = list(setter.sheets())
    assert len(printed.pages) == len(sheets)
    for paper in printed.pages:
        # a browser rounds paper up to whole pixels of 1/96 inch
        assert float(paper.mediabox.width) == pytest.approx(105 / 25.4 * 72, abs=0.75)
        assert float(paper.mediabox.height) == pytest.approx(148 / 25.4 * 72, abs=0.75)
        text = " ".join(paper.extract_text().split())
        assert "Declare allergens first." in text
        assert "No flames." in text


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [390, 1280])
def test_it_is_quiet_loads_nothing_and_is_open_to_everybody(browser, place, scheme, width):
    from axe_playwright_python.sync_playwright import Axe

    page = browser.new_page(viewport={"width": width, "height": 900}, color_scheme=scheme)
    said, asked = [], []
    page.on("console", lambda message: said.append(message.text))
    page.on("request", lambda request: asked.append(request.url))
    page.goto(place)
    found = Axe().run(page).response["violations"]
    wider = page.evaluate("document.documentElement.scrollWidth - innerWidth")
    page.close()
    assert [each["id"] for each in found] == []
    assert said == []
    assert [url for url in asked if not url.startswith("data:")] == [place]
    assert wider <= 0


def test_keys_reach_the_classes_in_reading_order(browser, place, setter):
    page = browser.new_page()
    page.goto(place)
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.getAttribute('href')") == "#class-top"
    page.keyboard.press("Enter")
    assert page.url.endswith("#class-top")
    page.close()
