"""The wheel in a real browser, enlarged and moved: what is looked at stays in sight."""

import pytest
from browsing import SCALE, SIZES, address, middle_of, under, until
from felloe.report.chart import chart_terms


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


def drag(page, start, end):
    """Press at one place of the screen, move to another and let go."""
    page.mouse.move(*start)
    page.mouse.down()
    page.mouse.move(*end, steps=4)
    page.mouse.up()


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
        drag(page, (400, 400), (900, 850))
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
        drag(page, (400, 200), (460, 260))
        assert page.locator(".scene").get_attribute("transform") != before
        assert address(page) == ""
