"""The pages in a real browser: whether everybody can read them, on a phone and without scripts."""

import json

import pytest
from browsing import FITS, PAGES, SCALE, SIZES, middle_of, opened, until, violations
from felloe.report.chart import chart_terms

READ = 12.0  # pixels; smaller type is for no text that has to be read


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", PAGES)
def test_everybody_can_read_a_page(browser, demo, name, size, scheme):
    with opened(browser, demo / PAGES[name], size, scheme) as page:
        assert violations(page) == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", SIZES)
def test_everybody_can_read_the_wheel_when_something_is_chosen(wheel, chart, size, scheme):
    _, _, term = next(chart_terms(chart))
    with wheel(size=size, scheme=scheme, fragment=f"#term-{term['id']}?nearest=on") as page:
        assert violations(page) == []
        page.fill("#search", "a")
        assert violations(page) == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_everybody_can_read_the_wheel_on_a_phone(wheel, chart, scheme):
    _, _, term = next(chart_terms(chart))
    with wheel(size="phone", scheme=scheme) as page:
        page.click("#show-wheel")
        page.mouse.click(*middle_of(page, f"term-{term['id']}"))
        assert page.is_visible("#panel")
        assert violations(page) == []


def test_a_violation_would_be_found(browser, tmp_path):
    bad = tmp_path / "bad.html"
    bad.write_text("<!DOCTYPE html><title>x</title><img src='data:,'>", encoding="utf-8")
    with opened(browser, bad) as page:
        assert any(line.startswith("image-alt") for line in violations(page))


def test_the_notice_is_seen_before_the_list(wheel):
    for size in SIZES:
        with wheel(size=size) as page:
            top = page.locator("a[href='#notice']").bounding_box()["y"]
            assert top < page.locator("#list").bounding_box()["y"]
            page.click("a[href='#notice']")
            until(
                page,
                "document.querySelector('#notice').getBoundingClientRect().top < innerHeight",
            )


def test_wheel_and_cards_lead_to_each_other(wheel):
    with wheel() as page:
        page.click("header a[href='cards.html']")
        assert page.url.endswith("/cards.html")
        page.click("header a[href='wheel.html']")
        assert page.url.endswith("/wheel.html")


def test_light_and_dark_can_be_switched_and_outlive_a_reload(wheel):
    ground = "getComputedStyle(document.body).backgroundColor"
    with wheel() as page:
        light = page.evaluate(ground)
        page.select_option("#scheme", "dark")
        dark = page.evaluate(ground)
        assert dark != light
        page.reload()
        assert page.evaluate(ground) == dark
    with wheel(scheme="dark") as page:
        assert page.evaluate(ground) == dark
        page.select_option("#scheme", "light")
        assert page.evaluate(ground) == light


SMALL = """
() => {
  const found = new Set();
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (texts.nextNode()) {
    const made = texts.currentNode.parentElement;
    if (!texts.currentNode.textContent.trim() || !made.checkVisibility()) continue;
    if (made.closest("svg, script, style")) continue;
    if (parseFloat(getComputedStyle(made).fontSize) < LEAST) found.add(made.outerHTML.slice(0, 90));
  }
  return [...found];
}
"""


@pytest.mark.parametrize("size", SIZES)
def test_no_text_is_too_small_and_nothing_runs_out_of_the_page(wheel, size):
    with wheel(size=size) as page:
        page.locator(".class-item > summary").first.click()
        page.locator(".term-item > summary").first.click()
        assert page.evaluate(SMALL.replace("LEAST", str(READ))) == []
        assert page.evaluate(FITS)


def test_the_words_of_the_wheel_can_be_read_on_a_desk(wheel, chart):
    with wheel() as page:
        factor = page.evaluate(SCALE)
        for _, _, term in chart_terms(chart):
            text = page.locator(f"#wheel-term-{term['id']} text").first
            assert float(text.get_attribute("font-size")) * factor >= READ, term["label"]


def test_after_print_the_list_is_open_where_it_was(wheel):
    state = "[...document.querySelectorAll('#list details')].map((one) => one.open)"
    with wheel() as page:
        page.locator(".class-item > summary").first.click()
        before = page.evaluate(state)
        page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
        assert all(page.evaluate(state))
        page.evaluate("window.dispatchEvent(new Event('afterprint'))")
        assert page.evaluate(state) == before
        assert len(set(before)) == 2


def test_one_piece_of_the_wheel_is_reached_by_the_tab_key(wheel):
    with wheel() as page:
        assert page.locator('.piece[tabindex="0"]').count() == 1
        every = page.locator(".piece").count()
        assert page.locator('.piece[role="button"][tabindex]').count() == every > 1


def test_without_scripts_everything_stands_in_the_list(wheel, chart):
    with wheel(java_script_enabled=False) as page:
        assert page.locator(".piece[tabindex], .piece[role=button]").count() == 0
        assert page.locator(".scripted:visible").count() == 0
        page.locator(".class-item > summary").first.click()
        _, _, term = next(chart_terms(chart))
        page.locator(f'#list [data-key="term-{term["id"]}"] > details > summary').click()
        assert page.locator(f'#list [data-key="term-{term["id"]}"] .about').is_visible()


def test_the_wheel_is_set_in_its_own_letters(wheel):
    with wheel() as page:
        page.evaluate("document.fonts.ready.then(() => true)")
        loaded = (
            "[...document.fonts].filter((one) => one.status == 'loaded').map((one) => one.family)"
        )
        assert "Fira Sans Condensed" in json.dumps(page.evaluate(loaded))
