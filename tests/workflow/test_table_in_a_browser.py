"""Where cards, piles and buttons stand on the page for sorting, on screens of any size."""

import json

import pytest
from asked_example import asked
from browsing import FITS
from cards_and_piles import PILE
from kit_pages import reopen, saved, tab_to

INSIDE = """
() => {
  const pile = document.activeElement.closest(".pile").getBoundingClientRect();
  const own = document.activeElement.getBoundingClientRect();
  return own.left >= pile.left && own.right <= pile.right;
}
"""


@pytest.mark.parametrize("language", ["en", "de"])
def test_nothing_moves_where_the_keyboard_comes_to_a_small_pile(sorting, language):
    with sorting(asked(language=language), size="phone") as page:
        page.keyboard.press("0")
        before = page.locator(PILE.format("unknown")).bounding_box()
        tab_to(page, '.pile[data-drop="1"] .put')
        assert page.evaluate(INSIDE)
        assert page.locator(PILE.format("unknown")).bounding_box() == before
        page.click(f"{PILE.format(1)} .unfold")


def test_the_buttons_stay_where_they_are_on_a_phone(sorting):
    with sorting(asked(30), size="phone") as page:
        where = page.locator("#put-new").bounding_box()["y"]
        for _ in range(20):
            page.click("#put-new")
        page.wait_for_timeout(100)
        assert page.locator("#put-new").bounding_box()["y"] == pytest.approx(where, abs=12)


REACHED = """
() => {
  window.scrollTo(0, 0);
  const button = document.getElementById("undo");
  button.scrollIntoView({ block: "nearest" });
  const { left, top, right, bottom } = button.getBoundingClientRect();
  const seen = document.elementFromPoint((left + right) / 2, (top + bottom) / 2) === button;
  return seen && window.scrollY === 0; // else piles and card were never on one screen
}
"""


@pytest.mark.parametrize(("width", "height"), [(844, 390), (911, 430), (640, 400), (320, 568)])
def test_undo_is_reached_in_a_low_window(sorting, width, height):
    with sorting(asked(40, defined=["w30"])) as page:
        page.set_viewport_size({"width": width, "height": height})
        for _ in range(30):
            page.keyboard.press("0")
        page.click("#show-definition")
        assert page.evaluate(REACHED)
        assert page.evaluate(FITS)


@pytest.mark.parametrize("size", ["phone", "desk"])
def test_a_hundred_terms_are_all_in_sight(sorting, size):
    with sorting(asked(100), size=size) as page:
        page.evaluate("document.getElementById('deck').open = true")
        labels = page.locator("#deck .card").all_inner_texts()
        assert labels == [f"word {at}" for at in range(100)]
        assert page.evaluate(FITS)


BOXES = """
() => [...document.querySelectorAll(".pile")].map((one) => {
  const { left, top, right, bottom } = one.getBoundingClientRect();
  return [left, top + scrollY, right, bottom + scrollY];
})
"""


def beside(one, other):
    return one[2] <= other[0] or other[2] <= one[0]


def test_piles_of_any_size_stand_apart_and_leave_no_holes(sorting):
    sizes = (40, 1, 2, 18, 1, 9, 1, 3, 1, 4)
    terms = iter(f"w{at:02}" for at in range(100))
    piles = [{"words": "", "terms": [next(terms) for _ in range(size)]} for size in sizes]
    with sorting(asked(100)) as page:
        file = json.dumps({**json.loads(saved(page)), "piles": piles, "unplaced": []}).encode()
        reopen(page, file)
        page.click("#to-work")
        for width in (1280, 390, 800, 1900):
            page.set_viewport_size({"width": width, "height": 800})
            page.wait_for_timeout(200)
            boxes = page.evaluate(BOXES)
            assert len(boxes) == len(sizes) + 2
            for at, one in enumerate(boxes):
                above = [other for other in boxes if not beside(one, other) and other[1] < one[1]]
                if above:  # the next one above is 8 to 16 pixels away
                    assert 8 <= one[1] - max(other[3] for other in above) <= 16, (width, at)
            assert page.evaluate(FITS)
