"""The page that people pick colours on, in a real browser: from the first word to the file."""

import random

import pytest
from asked_example import HOSTILE, asked, everything_in
from browsing import BLOCKED, FITS, SIZES, opened, violations
from felloe.colours.contrast import contrast_ratio
from kit_pages import (
    answered,
    in_hand,
    reopen,
    saved,
    start,
    started,
    starting,
    tab_to,
    told,
    written,
)


@pytest.fixture
def picking(browser, tmp_path):
    """Return what opens the page of a task, started."""
    return starting(browser, tmp_path, "colours")


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", SIZES)
def test_everybody_can_pick(browser, tmp_path, size, scheme):
    with opened(
        browser, written(tmp_path, asked(kind="colours")), size=size, scheme=scheme
    ) as page:
        assert violations(page) == []
        start(page)
        assert violations(page) == []
        page.locator(".field").nth(5).click()
        page.click("#next")
        page.locator(".field").nth(80).click()
        page.click("#next")
        page.click("#none")
        assert violations(page) == []
        assert page.evaluate(FITS)
        page.click("#to-read")
        assert violations(page) == []


def test_from_the_first_word_to_the_file(picking):
    with picking() as page:
        chosen = page.locator(".field").nth(33)
        chosen.click()
        first = chosen.get_attribute("data-colour")
        page.click("#next")
        page.click("#none")
        page.click("#next")
        page.fill("#lightness", "40")
        page.locator(".word").nth(5).click()
        assert in_hand(page) == "word 5"
        page.locator(".field").nth(0).click()
        page.click("#clear")
        found = answered(page)
        assert told(page, "#end-state") == "3 of 8 decided: 2 colours, 1 word without a colour."
        assert "5 words are still open" in told(page, "#end-open")
    assert found.picks["w00"] == first
    assert sorted(found.picks) == ["w00", "w02"]
    assert found.unknown == ("w01",)
    assert everything_in(found) == [f"w{at:02}" for at in range(8)]
    assert found.identity.kind == "colours"


def test_it_is_said_that_screens_differ(picking):
    with picking() as page:
        assert "Screens differ" in page.inner_text("#view-work")


def test_picking_by_keyboard_alone(browser, tmp_path):
    with opened(browser, written(tmp_path, asked(2, kind="colours"))) as page:
        tab_to(page, "#agree")
        page.keyboard.press("Space")
        tab_to(page, "#start")
        page.keyboard.press("Enter")
        tab_to(page, ".field")
        page.keyboard.press("ArrowDown")
        page.keyboard.press("ArrowRight")
        wanted = page.evaluate("document.activeElement.dataset.colour")
        name = page.evaluate("document.activeElement.getAttribute('aria-label')")
        page.keyboard.press("Enter")
        assert told(page) == f"word 0: {name}.".replace("\u2068", "").replace("\u2069", "")
        tab_to(page, "#hue")
        before = page.get_attribute("#hue", "aria-valuetext")
        page.keyboard.press("ArrowRight")
        assert page.get_attribute("#hue", "aria-valuetext") != before
        tab_to(page, "#lightness")
        page.keyboard.press("ArrowLeft")
        for _ in range(30):
            page.keyboard.press("Shift+Tab")
            if page.evaluate("document.activeElement.id") == "next":
                break
        page.keyboard.press("Enter")
        assert in_hand(page) == "word 1"
        tab_to(page, "#none")
        page.keyboard.press("Space")
        found = answered(page)
    assert found.picks["w00"] != wanted
    assert found.unknown == ("w01",)


def test_a_hue_moved_on_grey_becomes_a_colour(picking):
    with picking() as page:
        page.focus("#hue")
        page.keyboard.press("ArrowRight")
        picked = answered(page).picks["w00"]
    assert len({picked[1:3], picked[3:5], picked[5:]}) == 3


def test_what_was_picked_comes_back_to_the_last_digit(browser, tmp_path):
    task = asked(40, kind="colours")
    path = written(tmp_path, task)
    with started(browser, path) as page:
        for at in range(40):
            page.locator(".field").nth(at * 2).click()
            page.click("#next")
        first = answered(page)
        data = saved(page)
        page.reload()
        for _ in range(40):
            page.click("#next")  # looking at a word changes nothing
        assert answered(page).picks == first.picks
    with opened(browser, path) as page:
        reopen(page, data, "start")
        start(page)
        assert answered(page).picks == first.picks


def test_where_no_colour_may_be_kept_it_is_said(picking):
    with picking(script=BLOCKED) as page:
        assert page.is_visible("#view-work .not-kept")


def test_fields_fit_the_narrowest_screen(picking):
    with picking() as page:
        page.set_viewport_size({"width": 320, "height": 568})  # WCAG 2.2, success criterion 1.4.10
        assert page.evaluate(FITS)
        # 24 pixels: success criterion 2.5.8
        assert page.locator(".field").first.bounding_box()["width"] >= 24


@pytest.mark.parametrize(("language", "wrong"), [("en", "card"), ("de", "Karte")])
def test_nobody_who_picks_is_told_of_cards(picking, language, wrong):
    with picking(asked(kind="colours", language=language)) as page:
        page.click("#to-end")
        assert wrong not in page.inner_text("body")


def test_words_that_mean_harm_are_shown(picking):
    with picking(asked(kind="colours", labels=HOSTILE), size="phone") as page:
        assert page.locator(".word > [lang]").all_inner_texts() == list(HOSTILE.values())
        assert page.title() == "Words & things (p07)"
        assert page.evaluate(FITS)


def test_colours_in_german(picking):
    with picking(asked(kind="colours", language="de")) as page:
        page.locator(".field").nth(0).click()
        assert told(page, "#name") == "Weiß"
        assert "Bildschirme sind verschieden" in page.inner_text("#view-work")


# Hue, strength and lightness. Oracle of OKLCH: CSS Color Module Level 4, section 10.3 and its
# sample values (from memory): red is oklch(62.8% 0.2577 29.23), white has lightness 1, chroma 0.
SPACE = "(colour) => colourSpace().parts(colour)"


def test_colours_lie_where_the_standard_puts_them(picking):
    with picking() as page:
        red, white = (page.evaluate(SPACE, colour) for colour in ("#ff0000", "#ffffff"))
    assert red == {
        "lightness": pytest.approx(0.628, abs=5e-4),
        "chroma": pytest.approx(0.2577, abs=5e-4),
        "hue": pytest.approx(29.23, abs=0.05),
    }
    assert (white["lightness"], white["chroma"]) == (pytest.approx(1), pytest.approx(0, abs=1e-4))


def test_sliders_lead_to_a_colour_and_back(picking):
    chance = random.Random(4)
    wanted = [
        {"hue": chance.randrange(360), "strength": chance.randint(30, 100), "lightness": light}
        for light in range(30, 90)
    ]
    script = "(all) => all.map((one) => colourSpace().sliders(colourSpace().hex(one)))"
    with picking() as page:
        for one, back in zip(wanted, page.evaluate(script, wanted), strict=True):
            turned = abs(back["hue"] - one["hue"])
            assert min(turned, 360 - turned) <= 4
            assert abs(back["strength"] - one["strength"]) <= 4
            assert abs(back["lightness"] - one["lightness"]) <= 1


def test_the_word_can_be_read_on_every_colour(picking):
    chance = random.Random(5)
    colours = [f"#{chance.randrange(1 << 24):06x}" for _ in range(300)]
    script = "(all) => all.map((one) => colourSpace().readable(one))"
    with picking() as page:
        for colour, ink in zip(colours, page.evaluate(script, colours), strict=True):
            assert contrast_ratio(colour, ink) >= 4.5  # WCAG 2, success criterion 1.4.3


@pytest.mark.parametrize(
    ("colour", "name"),
    [
        ("#ff0000", "strong red"), ("#000000", "black"), ("#ffffff", "white"), ("#808080", "grey"),
        ("#ffff00", "very light yellow"), ("#8b4513", "brown"), ("#00008b", "very dark blue"),
        ("#008000", "green"), ("#ffc0cb", "light pink"), ("#800080", "dark purple"),
    ],
)  # fmt: skip
def test_colours_go_by_common_names(picking, colour, name):
    # as CSS calls them: red, black, white, grey, yellow, saddlebrown, darkblue, green, pink, purple
    script = """(colour) => {
      const { words } = JSON.parse(document.getElementById("data").textContent);
      return colourNames(colourSpace(), pageText(words))(colour);
    }"""
    with picking() as page:
        found = page.evaluate(script, colour).replace("\u2068", "").replace("\u2069", "")
    assert found.split()[-1] == name.split()[-1]
    assert ("dark" in found) == ("dark" in name)
