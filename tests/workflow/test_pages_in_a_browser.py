"""The pages in a real browser: what can be done with them, and whether everybody can."""

import json
import os
import shutil
from contextlib import contextmanager

import pytest
from felloe.report.chart import chart_terms, read_chart
from felloe.report.sheet.name_fitting import has_name

BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome")
SWITCHES = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip
SIZES = {"phone": (390, 844), "tablet": (820, 1180), "desk": (1440, 900)}
PAGES = {
    "wheel": "brine-2026/report/wheel.html",
    "report": "brine-2026/report/report.html",
    "cards": "brine-2026/report/cards.html",
    "editions": "editions/brine-2016--brine-2026/report.html",
}
SCALE = "document.querySelector('.scene').getScreenCTM().a"
READ = 12.0  # pixels; smaller type is for no text that has to be read


@pytest.fixture(scope="session")
def browser():
    """Chromium; without one the tests are skipped, unless FELLOE_BROWSER says it is required."""
    found = next(filter(None, map(shutil.which, BROWSERS)), None)
    if found is None:
        say = pytest.fail if os.environ.get("FELLOE_BROWSER") == "required" else pytest.skip
        say("there is no Chromium here, so the pages were not opened in a browser")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as tools:
        started = tools.chromium.launch(executable_path=found, args=list(SWITCHES))
        yield started
        started.close()


@pytest.fixture(scope="session")
def results(demo):
    """Where the results of the demo lie."""
    return demo


@pytest.fixture(scope="session")
def chart(results):
    return read_chart(results / "brine-2026" / "report" / "chart.json")


@contextmanager
def opened(browser, path, size="desk", scheme="light", fragment="", **options):
    """Open a page from disk; nothing may be asked of a network, and no error be told."""
    width, height = SIZES[size]
    view = {"width": width, "height": height}
    context = browser.new_context(viewport=view, color_scheme=scheme, **options)
    page, wrong = context.new_page(), []
    page.on("console", lambda said: wrong.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on("request", lambda asked: wrong.append(asked.url) if is_foreign(asked.url) else None)
    page.goto(f"{path.resolve().as_uri()}{fragment}")
    try:
        yield page
        assert wrong == []
    finally:
        context.close()


def is_foreign(address):
    return not address.startswith(("file:", "data:", "blob:"))


@pytest.fixture
def wheel(browser, results):
    """Return what opens the wheel's page."""
    return lambda **how: opened(browser, results / PAGES["wheel"], **how)


def violations(page):
    """Return what axe-core finds, a line each."""
    from axe_playwright_python.sync_playwright import Axe

    found = Axe().run(page).response["violations"]
    return [f"{one['id']}: {node['html'][:160]}" for one in found for node in one["nodes"][:3]]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", PAGES)
def test_everybody_can_read_a_page(browser, results, name, size, scheme):
    with opened(browser, results / PAGES[name], size, scheme) as page:
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


def until(page, script):
    """Wait for something to become true (Playwright's own way needs `eval`, which pages forbid)."""
    for _ in range(100):
        if page.evaluate(script):
            return
        page.wait_for_timeout(50)
    pytest.fail(f"never became true: {script}")


def heading(page):
    return page.inner_text("#shown h2")


def address(page):
    return page.evaluate("decodeURIComponent(location.hash)")


def found_names(page):
    return [text.split("\n")[0] for text in page.locator("#hits button").all_inner_texts()]


def middle_of(page, key):
    """Return the middle of a term on the screen: of its word, which lies on its spoke."""
    box = page.locator(f"#wheel-{key} .look > .area").bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def under(page, x, y):
    script = "([x, y]) => document.elementFromPoint(x, y).closest('.piece')?.dataset.key"
    return page.evaluate(script, [x, y])


def term_labelled(chart, label):
    return next(term for _, _, term in chart_terms(chart) if term["label"] == label)


@pytest.mark.parametrize(
    ("typed", "label"), [("jalapeno", "jalapeño"), ("CREME fraiche", "crème fraîche")]
)
def test_search_needs_no_accents_and_no_capitals(wheel, typed, label):
    with wheel() as page:
        page.fill("#search", typed)
        assert page.locator("#hits button").first.inner_text().startswith(label)


def test_search_looks_into_definitions_references_and_cautions(wheel, chart):
    with wheel() as page:
        for field in ("definition", "reference", "caution"):
            for _, _, term in list(chart_terms(chart))[:6]:
                if not term[field]:
                    continue
                page.fill("#search", term[field])
                keys = page.locator("#hits button").all_inner_texts()
                assert any(text.startswith(term["label"]) for text in keys), (field, term["label"])


def test_search_finds_classes_and_subclasses_and_counts(wheel, chart):
    class_ = next(one for one in chart["classes"] if not one["name_is_proposal"])
    subclass = next(
        part for one in chart["classes"] for part in one["subclasses"] if has_name(part, one)
    )
    with wheel() as page:
        for name, tier in ((class_["name"], "Class"), (subclass["name"], "Subclass")):
            page.fill("#search", name)
            hits = page.locator("#hits button").all_inner_texts()
            assert any(hit.startswith(name) and tier in hit for hit in hits)
            assert page.inner_text("#found") == f"{len(hits)} found"


def test_what_was_searched_is_repeated_as_it_was_typed(wheel):
    typed = "a $& b $' c $$"  # what a replacement in a script would fill in
    with wheel() as page:
        page.fill("#search", typed)
        assert f"\u201c{typed}\u201d" in page.inner_text("#found")


def test_search_that_finds_nothing_says_so(wheel):
    with wheel() as page:
        page.fill("#search", "zzzq")
        assert "zzzq" in page.inner_text("#found")
        assert page.locator("#hits button").count() == 0


def test_enter_in_the_search_chooses_the_first_that_was_found(wheel):
    with wheel() as page:
        page.fill("#search", "jalapeno")
        page.press("#search", "Enter")
        assert heading(page) == "jalapeño"


def test_enter_in_the_search_opens_the_word_in_the_list_of_a_phone(wheel, chart):
    _, subclass, term = next(
        (one, part, term)
        for one in chart["classes"][1:]
        for part in one["subclasses"]
        for term in part["terms"]
        if has_name(part, one)
    )
    key = f"term-{term['id']}"
    with wheel(size="phone") as page:
        page.locator(".class-item > summary").first.click()  # another class is open
        page.fill("#search", term["label"])
        page.press("#search", "Enter")
        assert address(page) == f"#{key}"
        page.wait_for_timeout(100)  # a key that is let go, and what opening one class closes
        item = page.locator(f'#list [data-key="{key}"]')
        assert item.locator(".about").is_visible()
        assert 0 <= item.bounding_box()["y"] < SIZES["phone"][1]
        page.fill("#search", subclass["name"])
        page.press("#search", "Enter")
        assert page.locator(f'#list [data-key="subclass-{subclass["id"]}"] .terms').is_visible()


def test_a_link_to_an_unknown_entry_is_said_to_be_one(wheel, chart):
    _, _, term = next(chart_terms(chart))
    with wheel(fragment="#leather") as page:
        assert page.inner_text("#found") == "There is no entry 'leather'."
        page.evaluate(f"location.hash = 'term-{term['id']}'")
        until(page, "document.querySelector('#shown .about') !== null")
        assert page.inner_text("#found") == ""
        page.evaluate("location.hash = 'gr%C3%BCn%'")
        until(page, "document.querySelector('#found').textContent !== ''")
        assert "gr%C3%BCn%" in page.inner_text("#found")  # no text in this encoding: as written
        assert heading(page) == term["label"]
    for known in ("#list", "#notice", "", "#?scheme=dark"):
        with wheel(fragment=known) as page:
            assert page.inner_text("#found") == ""


def test_the_key_of_the_search_is_offered_to_those_who_have_keys(wheel):
    with wheel() as page:
        assert page.is_visible("#shortcut")
    with wheel(size="phone", has_touch=True, is_mobile=True) as page:
        assert page.is_visible("#scheme")
        assert not page.is_visible("#shortcut")


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


def test_arrow_keys_go_around_the_ring_and_between_the_tiers(wheel, chart):
    first, second, *_, last = [f"class-{one['id']}" for one in chart["classes"]]
    with wheel() as page:
        page.focus(f"#wheel-{first}")
        for key, expected in (
            ("Enter", first), ("ArrowRight", second), ("ArrowLeft", first),
            ("ArrowLeft", last), ("Home", first),
        ):  # fmt: skip
            page.keyboard.press(key)
            assert address(page) == f"#{expected}"
            assert page.evaluate("document.activeElement.dataset.key") == expected
        page.keyboard.press("ArrowDown")
        page.keyboard.press("ArrowDown")
        term = address(page)
        inside = [t["id"] for part in chart["classes"][0]["subclasses"] for t in part["terms"]]
        assert term in {f"#term-{one}" for one in inside}
        page.keyboard.press("ArrowRight")
        beside = address(page)
        terms = [f"#term-{one['id']}" for _, _, one in chart_terms(chart)]
        assert terms.index(beside) == (terms.index(term) + 1) % len(terms)
        page.keyboard.press("ArrowUp")
        page.keyboard.press("ArrowUp")
        assert address(page) == f"#{first}"


def test_a_link_opens_what_it_names_and_the_address_follows(wheel, chart):
    (one, _, term), (_, _, other) = list(chart_terms(chart))[:2]
    with wheel(fragment=f"#term-{term['id']}") as page:
        assert heading(page) == term["label"]
        assert page.locator(f"#wheel-term-{term['id']}.chosen").count() == 1
        page.mouse.click(*middle_of(page, f"term-{other['id']}"))
        assert address(page) == f"#term-{other['id']}"
        page.evaluate(f"location.hash = 'class-{one['id']}'")
        until(page, f"document.querySelector('#shown h2').textContent == '{one['name']}'")
        page.reload()
        assert heading(page) == one["name"]
        assert page.evaluate("scrollY") == 0
        assert page.evaluate("history.length") <= 3  # moving about fills no history


def test_every_class_subclass_and_term_has_a_link(wheel, chart):
    keys = [f"class-{one['id']}" for one in chart["classes"]]
    keys += [f"subclass-{part['id']}" for one in chart["classes"] for part in one["subclasses"]]
    keys += [f"term-{term['id']}" for _, _, term in chart_terms(chart, True)]
    with wheel() as page:
        for key in keys:
            page.keyboard.press("Escape")
            assert page.locator("#shown .about").count() == 0
            page.evaluate(f"location.hash = '{key}'")
            page.wait_for_selector("#shown .about")


def test_the_panel_tells_all_about_a_term(wheel, chart):
    moved = next(term for _, _, term in chart_terms(chart) if term["decision"])
    with wheel(fragment=f"#term-{moved['id']}") as page:
        told = page.inner_text("#panel")
        for text in (
            moved["label"], moved["definition"], moved["reference"], moved["caution"],
            moved["decision"]["reason"], "Of 100 redraws", "Moved by the committee",
        ):  # fmt: skip
            assert text in told
        for one in moved["nearest"]:
            share = f"{round(100 * one['share_together'])}"
            assert page.inner_text(f'#panel a[href="#term-{one["term"]}"] + .number') == share


def test_a_click_chooses_what_is_under_the_pointer_and_moves_nothing(wheel, chart):
    keys = [f"term-{term['id']}" for _, _, term in chart_terms(chart)][::7]
    with wheel() as page:
        before = page.locator("#wheel").bounding_box()
        for key in keys:
            x, y = middle_of(page, key)
            page.mouse.click(x, y)
            assert address(page) == f"#{key}"
            assert under(page, x, y) == key
        page.fill("#search", "a")
        assert page.locator("#wheel").bounding_box() == before


def test_zooming_leaves_what_is_under_the_pointer_where_it_is(wheel, chart):
    keys = [f"term-{term['id']}" for _, _, term in chart_terms(chart)][::11]
    with wheel() as page:
        for key in keys:
            page.evaluate("document.querySelector('#zoom-reset').click()")
            x, y = middle_of(page, key)
            page.mouse.move(x, y)
            page.keyboard.down("Control")
            for turn, sign in ((-120, ">"), (-120, ">"), (-120, ">"), (120, "<")):
                before = page.evaluate(SCALE)
                page.mouse.wheel(0, turn)
                until(page, f"{SCALE} {sign} {before}")
                assert under(page, x, y) == key
            page.keyboard.up("Control")


def test_zooming_by_the_buttons_leaves_the_chosen_where_it_is(wheel, chart):
    _, _, term = list(chart_terms(chart))[10]
    key = f"term-{term['id']}"
    with wheel(fragment=f"#{key}") as page:
        place, before = middle_of(page, key), page.evaluate(SCALE)
        page.click("#zoom-in")
        assert middle_of(page, key) == pytest.approx(place, abs=1.0)
        assert page.evaluate(SCALE) > 1.2 * before
        page.click("#zoom-reset")
        assert page.evaluate(SCALE) == pytest.approx(before)


def part_in_sight(page, key):
    """Return whether something of an entry lies in the part of the wheel that is seen."""
    return page.evaluate(
        """(key) => {
            const box = document.querySelector("#wheel").getBoundingClientRect();
            const area = document.querySelector(`#wheel-${key} .area`);
            const [length, turned] = [area.getTotalLength(), area.getScreenCTM()];
            return Array.from({ length: 400 }, (_, at) => (at * length) / 400).some((at) => {
                const { x, y } = area.getPointAtLength(at).matrixTransform(turned);
                return box.left <= x && x <= box.right && box.top <= y && y <= box.bottom;
            });
        }""",
        key,
    )


@pytest.mark.parametrize("size", SIZES)
def test_zooming_by_the_buttons_leads_to_the_rim_while_nothing_is_chosen(wheel, chart, size):
    first = chart["classes"][0]
    term = next(term for part in first["subclasses"] for term in part["terms"])
    with wheel(size=size) as page:
        if size == "phone":
            page.click("#show-wheel")
        for _ in range(20):
            if page.is_disabled("#zoom-in"):
                break
            page.click("#zoom-in")
            assert part_in_sight(page, f"class-{first['id']}")
            assert part_in_sight(page, f"term-{term['id']}")
        assert page.is_disabled("#zoom-in")


def test_zooming_by_the_buttons_keeps_a_chosen_class_in_sight(wheel, chart):
    for class_ in chart["classes"]:
        key = f"class-{class_['id']}"
        with wheel(fragment=f"#{key}") as page:
            for _ in range(6):
                if page.is_enabled("#zoom-in"):
                    page.click("#zoom-in")
            assert part_in_sight(page, key)


def test_zooming_by_the_buttons_fetches_what_is_chosen(wheel, chart):
    first, last = chart["classes"][0], chart["classes"][len(chart["classes"]) // 2]
    term = next(term for part in last["subclasses"] for term in part["terms"])
    key = f"term-{term['id']}"
    with wheel() as page:
        page.click("#zoom-in")
        page.mouse.click(*middle_of(page, f"class-{first['id']}"))
        page.evaluate(f"location.hash = '{key}'")
        page.click("#zoom-in")
        page.mouse.move(400, 400)
        page.mouse.down()
        page.mouse.move(900, 850, steps=4)
        page.mouse.up()
        page.click("#zoom-in")
        assert part_in_sight(page, key)


@pytest.mark.parametrize("size", SIZES)
def test_the_buttons_of_the_zoom_stay_with_the_wheel(wheel, size):
    with wheel(size=size) as page:
        if size == "phone":
            page.click("#show-wheel")
        for _ in range(3):
            place = page.locator("#place").bounding_box()
            for button in page.locator(".zoom button").all():
                box = button.bounding_box()
                assert place["x"] <= box["x"]
                assert box["x"] + box["width"] <= place["x"] + place["width"]
                assert place["y"] <= box["y"]
                assert box["y"] + box["height"] <= place["y"] + place["height"]
            page.click("#zoom-in")


def test_two_fingers_enlarge_the_wheel_about_their_middle(wheel, chart):
    _, _, term = list(chart_terms(chart))[30]
    key = f"term-{term['id']}"
    with wheel(has_touch=True) as page:
        (x, y), before = middle_of(page, key), page.evaluate(SCALE)
        fingers = page.context.new_cdp_session(page)
        for kind, apart in (
            ("touchStart", 20),
            *(("touchMove", 20 + 5 * at) for at in range(1, 9)),
        ):
            places = [{"x": x - apart, "y": y, "id": 0}, {"x": x + apart, "y": y, "id": 1}]
            fingers.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": places})
        fingers.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
        until(page, f"{SCALE} > {1.5 * before}")
        assert under(page, x, y) == key
        assert address(page) == ""


def test_a_drag_moves_the_enlarged_wheel_and_chooses_nothing(wheel):
    with wheel() as page:
        page.click("#zoom-in")
        before = page.locator(".scene").get_attribute("transform")
        page.mouse.move(400, 200)
        page.mouse.down()
        page.mouse.move(460, 260, steps=4)
        page.mouse.up()
        assert page.locator(".scene").get_attribute("transform") != before
        assert address(page) == ""


def opacity(page, key):
    return float(
        page.evaluate(f"getComputedStyle(document.querySelector('#wheel-{key} .look')).opacity")
    )


def test_what_is_not_chosen_is_dimmed_with_its_lettering(wheel, chart):
    one, other = chart["classes"][:2]
    inside = [t["id"] for part in one["subclasses"] for t in part["terms"]]
    outside = [t["id"] for part in other["subclasses"] for t in part["terms"]]
    with wheel(fragment=f"#class-{one['id']}") as page:
        assert {opacity(page, f"term-{term}") for term in inside} == {1.0}
        assert opacity(page, f"class-{one['id']}") == 1.0
        assert all(opacity(page, f"term-{term}") < 0.5 for term in outside)
        lettering = page.locator(f"#wheel-term-{outside[0]} > .look text")
        assert lettering.count() >= 1  # it lies in what is dimmed
        page.keyboard.press("Escape")
        assert opacity(page, f"term-{outside[0]}") == 1.0


def test_nearest_words_are_joined_by_chords_on_demand(wheel, chart):
    _, _, term = next(chart_terms(chart))
    on_ring = {one["id"] for _, _, one in chart_terms(chart)}
    shares = [one["share_together"] for one in term["nearest"] if one["term"] in on_ring]
    with wheel(fragment=f"#term-{term['id']}") as page:
        assert page.locator(".chords path").count() == 0
        page.check("#neighbours")
        widths = [
            float(one.get_attribute("stroke-width")) for one in page.locator(".chords path").all()
        ]
        assert len(widths) == len(shares)
        assert widths == sorted(widths, reverse=True)
        assert shares == sorted(shares, reverse=True)
        page.uncheck("#neighbours")
        assert page.locator(".chords path").count() == 0


def test_the_key_of_the_search_can_be_switched_off(wheel):
    focus = "document.activeElement.id"
    with wheel() as page:
        page.keyboard.press("/")
        assert page.evaluate(focus) == "search"
        assert page.input_value("#search") == ""
        page.uncheck("#shortcut")
        page.reload()
        page.keyboard.press("/")
        assert page.evaluate(focus) != "search"


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


def test_a_phone_starts_with_the_list_one_class_at_a_time(wheel, chart):
    with wheel(size="phone") as page:
        assert not page.is_visible("#wheel")
        items = page.locator(".class-item > summary")
        assert items.count() == len(chart["classes"])
        for at in (0, 1):
            items.nth(at).click()
            until(
                page,
                "document.querySelectorAll('.class-item[open]').length == 1 && "
                f"document.querySelectorAll('.class-item')[{at}].open",
            )
        page.click("#show-wheel")
        assert page.is_visible("#wheel")
        page.click("#show-wheel")
        assert not page.is_visible("#wheel")


def test_on_a_phone_a_link_opens_the_term_in_the_list(wheel, chart):
    _, _, term = list(chart_terms(chart))[20]
    with wheel(size="phone", fragment=f"#term-{term['id']}") as page:
        item = page.locator(f'#list [data-key="term-{term["id"]}"] .about')
        assert item.is_visible()
        assert 0 <= item.bounding_box()["y"] < SIZES["phone"][1]


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
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_the_words_of_the_wheel_can_be_read_on_a_desk(wheel, chart):
    with wheel() as page:
        factor = page.evaluate(SCALE)
        for _, _, term in chart_terms(chart):
            text = page.locator(f"#wheel-term-{term['id']} text").first
            assert float(text.get_attribute("font-size")) * factor >= READ, term["label"]


def test_the_panel_does_not_cover_what_was_chosen_on_a_tablet(wheel, chart):
    with wheel(size="tablet") as page:
        for _, _, term in list(chart_terms(chart))[::9]:
            page.keyboard.press("Escape")
            key = f"term-{term['id']}"
            page.mouse.click(*middle_of(page, key))
            assert page.is_visible("#panel")
            assert under(page, *middle_of(page, key)) == key


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
