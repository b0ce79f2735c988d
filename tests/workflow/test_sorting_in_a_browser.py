"""The page that people sort on, in a real browser: from the first term to the file."""

import pytest
from asked_example import HOSTILE, NO_CONSENT, TIMED, asked, everything_in
from browsing import FITS, SIZES, opened, violations
from cards_and_piles import PILE, card, put
from kit_pages import answered, in_hand, piles_of, start, told, written


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", SIZES)
def test_everybody_can_sort(browser, tmp_path, size, scheme):
    path = written(tmp_path, asked(30, defined=["w05"]))
    with opened(browser, path, size=size, scheme=scheme) as page:
        assert violations(page) == []
        start(page)
        assert violations(page) == []
        for key in "000123":
            page.keyboard.press(key)
        page.keyboard.press("?")
        page.evaluate("for (const each of document.querySelectorAll('details')) each.open = true")
        page.click("#short")
        for locator in page.locator(".unfold:visible").all():
            locator.click()
        card(page, "w03").click()
        page.evaluate("Promise.all(document.getAnimations().map((one) => one.finished))")
        assert violations(page) == []
        assert page.evaluate(FITS)
        page.click("#to-read")
        assert violations(page) == []
        page.click("#reading-close")
        page.click("#to-end")
        page.click("#copy")
        assert page.is_visible("#text")
        assert violations(page) == []
        assert page.evaluate(FITS)


def test_from_the_first_term_to_the_file(sorting):
    with sorting() as page:
        assert in_hand(page) == "word 0"
        put(page, "new")
        put(page, "new")
        put(page, 1)
        page.click("#next-card")  # word 3 comes later
        page.click(PILE.format(2), position={"x": 3, "y": 3})  # anywhere on the pile
        put(page, "unknown")
        page.click("#put-new")
        page.click("#not-known")
        page.fill('[data-words="2"]', "sour, green")
        assert in_hand(page) == "word 3"
        put(page, 3)
        assert told(page, "#progress-said") == "8 of 8 placed"
        page.click("#finish-here")
        assert told(page, "#end-state") == "8 of 8 placed: 3 piles, 2 words not known."
        found = answered(page)
    piles = [("", ["w00", "w02"]), ("sour, green", ["w01", "w04"]), ("", ["w06", "w03"])]
    assert piles_of(found) == piles
    assert (found.unknown, found.unplaced, found.minutes) == (("w05", "w07"), (), None)
    assert found.identity == asked().identity


def test_a_preview_without_scripts_says_what_to_do(browser, tmp_path):
    with opened(browser, written(tmp_path, asked()), java_script_enabled=False) as page:
        assert page.locator("button:visible, input:visible").count() == 0
        assert "open it in a browser" in page.inner_text("noscript")
        assert 'Put together what "belongs together".' in page.inner_text("#view-start")


def test_nothing_starts_before_somebody_agrees(browser, tmp_path):
    with opened(browser, written(tmp_path, asked())) as page:
        page.click("#start")
        assert page.is_visible("#agree-first")
        assert not page.is_visible("#board")
        assert page.evaluate("localStorage.length") == 0
    with opened(browser, written(tmp_path, asked(consent=NO_CONSENT))) as page:
        page.click("#start")
        assert page.is_visible("#board")


def test_the_instruction_is_always_at_hand(sorting):
    with sorting(size="phone") as page:
        page.click("#to-read")
        text = page.inner_text("#reading")
        assert 'Put together what "belongs together".' in text
        assert asked().consent.withdraw in text


def test_minutes_are_those_with_a_hand_on_the_page(browser, tmp_path):
    for consent, wanted in ((TIMED, 3.0), (asked().consent, None)):
        context = browser.new_context()
        page = context.new_page()
        page.clock.install()
        page.goto(written(tmp_path, asked(consent=consent)).resolve().as_uri())
        page.clock.run_for(600_000)  # reading the consent is no work
        start(page)
        put(page, "new")
        page.clock.run_for(60_000)
        put(page, 1)
        page.clock.run_for(3_600_000)  # an hour away counts as the two minutes before it is a pause
        found = answered(page)
        assert found.minutes == (wanted and pytest.approx(wanted, abs=0.1))
        context.close()


def test_definitions_are_shown_when_asked_for(sorting):
    with sorting(asked(3, defined=["w00"])) as page:
        assert not page.is_visible("#definition")
        page.click("#show-definition")
        assert page.inner_text("#definition") == "What word 0 is."
        put(page, "new")
        assert not page.is_visible("#definition")
        assert not page.is_visible("#show-definition")
    with sorting(asked(3)) as page:
        assert not page.is_visible("#show-definition")


def test_in_german(sorting):
    with sorting(asked(3, language="de")) as page:
        assert page.get_attribute("html", "lang") == "de"
        put(page, "new")
        assert told(page) == "word 0: auf Stapel 1 gelegt. Als Nächstes: word 1. Noch 2 Karten."
        found = answered(page)
        assert "{" not in page.inner_text("body").replace("{card}", "")
    assert len(found.piles) == 1


@pytest.mark.parametrize("size", ["phone", "desk"])
def test_labels_that_mean_harm_are_words(sorting, size):
    with sorting(asked(labels=HOSTILE, defined=HOSTILE), size=size) as page:
        for term, label in HOSTILE.items():
            assert in_hand(page) == label
            if term == "arabic":
                assert (
                    page.evaluate("getComputedStyle(document.getElementById('current')).direction")
                    == "rtl"
                )
            page.keyboard.press("0")
            assert told(page).startswith(f"{label}: put into pile ")
        assert page.title() == "Words & things (p07)"
        assert page.evaluate(FITS)
        assert violations(page) == []
        if size == "phone":
            page.click("#short")
        page.fill('[data-words="1"]', "</script><b>$&</b>")
        assert page.locator("#table b b").count() == 0
        found = answered(page)
    assert everything_in(found) == sorted(HOSTILE)
    assert found.piles[0].words == "</script><b>$&</b>"
