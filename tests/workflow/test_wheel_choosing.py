"""The wheel in a real browser: choosing by pointer, keys and links, and what is shown then."""

from browsing import SIZES, address, heading, middle_of, under, until
from felloe.report.chart import chart_terms


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


def test_the_panel_does_not_cover_what_was_chosen_on_a_tablet(wheel, chart):
    with wheel(size="tablet") as page:
        for _, _, term in list(chart_terms(chart))[::9]:
            page.keyboard.press("Escape")
            key = f"term-{term['id']}"
            page.mouse.click(*middle_of(page, key))
            assert page.is_visible("#panel")
            assert under(page, *middle_of(page, key)) == key
