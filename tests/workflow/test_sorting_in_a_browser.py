"""The page that people sort on, in a real browser: from the first term to the file."""

import hashlib
import json
import random
from dataclasses import replace

import pytest
from asked_example import HOSTILE, NO_CONSENT, TIMED, asked, everything_in
from browsing import BLOCKED, FITS, SIZES, opened, until, violations, windows
from cards_and_piles import PILE, card, centre, drag, put, touching
from kit_pages import (
    NO_CLIPBOARD,
    answered,
    in_hand,
    piles_of,
    reopen,
    saved,
    start,
    started,
    tab_to,
    told,
    whole,
    written,
)


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


def test_cards_are_moved_and_every_step_is_taken_back(sorting):
    with sorting() as page:
        for place in ("new", 1, "new", 2):
            put(page, place)
        card(page, "w01").click()
        assert told(page, "#hand-from") == "In hand, lies in pile 1"
        put(page, 2)
        assert told(page).startswith("word 1: put into pile 2.")
        card(page, "w00").click()
        put(page, 2)  # its pile is empty then, and gone
        assert not page.locator(PILE.format(1)).count()
        page.click("#undo")
        page.click("#undo")
        assert piles_of(answered(page)) == [("", ["w00", "w01"]), ("", ["w02", "w03"])]
        page.click("#to-work")
        page.click("#redo")
        card(page, "w01").click()
        page.click("#take-pile")
        put(page, 1)
        assert piles_of(answered(page)) == [("", ["w00", "w02", "w03", "w01"])]
        page.click("#to-work")
        card(page, "w00").click()
        page.click("#back-to-deck")
        assert answered(page).unplaced[0] == "w00"


def test_words_are_taken_back_as_a_whole(sorting):
    with sorting() as page:
        put(page, "new")
        page.locator('[data-words="1"]').press_sequentially("mild \u202e😀")
        page.locator('[data-words="1"]').blur()
        assert answered(page).piles[0].words == "mild 😀"
        page.click("#to-work")
        page.click("#undo")
        assert answered(page).piles[0].words == ""


def test_words_typed_and_rubbed_out_are_no_step(sorting):
    with sorting() as page:
        put(page, "new")
        page.locator('[data-words="1"]').press_sequentially("a")
        page.keyboard.press("Backspace")
        page.locator('[data-words="1"]').blur()
        for place in (1, 1, "new"):
            put(page, place)
        page.locator('[data-words="2"]').press_sequentially("sour")
        page.locator('[data-words="2"]').blur()
        page.click("#undo")  # the words, and not all that came since the first field
        assert piles_of(answered(page)) == [("", ["w00", "w01", "w02"]), ("", ["w03"])]


def test_words_end_where_the_intake_ends_them(sorting):
    with sorting() as page:
        put(page, "new")
        page.evaluate("""() => {
          const input = document.querySelector('[data-words]');
          input.value = ' ' + '😀'.repeat(300);
          input.dispatchEvent(new Event('input', { bubbles: true }));
        }""")
        assert answered(page).piles[0].words == "😀" * 200


def test_cards_are_dragged(sorting):
    with sorting(asked(6)) as page:
        drag(page, page.locator("#current"), page.locator(PILE.format("new")))
        drag(page, page.locator("#current"), page.locator(PILE.format("new")))
        deck = page.locator('#deck .card[data-term="w04"]')
        drag(page, deck, page.locator(PILE.format(2)))
        drag(page, card(page, "w00"), page.locator(PILE.format("unknown")))
        drag(page, page.locator("#current"), page.locator("h1"))  # to nowhere: nothing is done
        found = answered(page)
    assert piles_of(found) == [("", ["w01", "w04"])]
    assert (found.unknown, found.unplaced) == (("w00",), ("w02", "w03", "w05"))


def test_by_keyboard_alone(browser, tmp_path):
    with opened(browser, written(tmp_path, asked(13))) as page:
        tab_to(page, "#agree")
        page.keyboard.press("Space")
        tab_to(page, "#start")
        page.keyboard.press("Enter")
        for _ in range(11):
            page.keyboard.press("0")
        page.keyboard.press("2")  # at once: no pile has a number that goes on from 2
        page.keyboard.press("1")
        assert "Enter for pile 1" in told(page)
        page.keyboard.press("Enter")
        assert told(page) == "word 12: put into pile 1. All cards are placed."
        page.keyboard.press("Control+z")
        page.keyboard.press("1")
        page.keyboard.press("1")
        page.keyboard.press("Control+z")
        page.keyboard.press("?")
        tab_to(page, '.card[data-term="w01"]')
        page.keyboard.press("ArrowRight")
        assert page.evaluate("document.activeElement.dataset.term") == "w11"
        page.keyboard.press("Enter")
        page.keyboard.press("3")
        tab_to(page, '[data-words="4"]')
        page.keyboard.type("7 up?")  # in words, keys are letters
        tab_to(page, '.card[data-term="w03"]')
        page.keyboard.press("Enter")
        page.keyboard.press("Delete")
        page.keyboard.press("1")
        page.keyboard.press("0")
        for _ in range(40):
            page.keyboard.press("Shift+Tab")
            if page.evaluate("document.activeElement.id") == "to-end":
                break
        page.keyboard.press("Enter")
        tab_to(page, "#save")
        with page.expect_download() as waiting:
            page.keyboard.press("Enter")
        found = whole(waiting.value.path().read_bytes())
    assert everything_in(found) == [f"w{at:02}" for at in range(13)]
    assert found.unknown == ("w12",)
    lie = {term: pile.terms for pile in found.piles for term in pile.terms}
    assert lie["w11"] == lie["w02"] == ("w02", "w11")
    assert lie["w03"] == lie["w09"]


def test_a_number_begun_is_given_up_by_whoever_goes_on_by_hand(sorting):
    with sorting(asked(15)) as page:
        for _ in range(11):
            page.keyboard.press("0")
        page.keyboard.press("1")  # 1, 10 or 11: a further digit, or Enter
        put(page, 3)
        page.keyboard.press("Enter")  # on the button that was pressed
        assert told(page).startswith("word 12: put into pile 3.")
        page.keyboard.press("1")
        page.keyboard.press("Control+z")
        page.keyboard.press("0")
        assert told(page).startswith("word 12: put into pile 12.")


def test_by_buttons_alone_when_single_keys_are_off(sorting):
    with sorting(asked(3)) as page:
        page.click("#to-read")
        page.uncheck("#single-keys")
        page.click("#reading-close")
        page.keyboard.press("0")
        assert told(page, "#progress-said") == "0 of 3 placed"
        tab_to(page, "#put-new")
        page.keyboard.press("Enter")
        tab_to(page, ".pile .put")
        assert page.evaluate("document.activeElement.textContent") == "Put here: Pile 1, 1 card"
        page.keyboard.press("Enter")
        page.keyboard.press("Enter")  # the keyboard stays there
        assert piles_of(answered(page)) == [("", ["w00", "w01", "w02"])]


def test_every_place_to_put_a_card_has_a_name_of_its_own(sorting):
    with sorting() as page:
        put(page, "new")
        put(page, "new")
        names = page.locator(".put").all_text_contents()
        assert len(set(names)) == 4
        assert sum(":" in name for name in names) == 3  # "Start a pile" needs no more


def test_by_finger_on_a_phone(sorting):
    with sorting(asked(100), size="phone", has_touch=True) as page:
        for _ in range(12):
            page.tap("#put-new")
        for at in range(12, 98):
            page.tap(PILE.format(at % 12 + 1), position={"x": 60, "y": 14})
        page.tap("#not-known")
        page.tap("#deck summary")
        assert page.locator("#deck .card").count() == 1
        page.tap("#not-known")
        assert page.evaluate(FITS)
        page.tap(f"{PILE.format(5)} .unfold")
        page.tap('.card[data-term="w16"]')
        page.tap(PILE.format(6), position={"x": 60, "y": 14})
        page.tap("#finish-here")
        found = answered(page)
    assert everything_in(found) == [f"w{at:02}" for at in range(100)]
    assert found.unknown == ("w98", "w99")
    assert [term for term in found.piles[5].terms if int(term[1:]) % 12 != 5] == ["w16"]
    assert "w16" not in found.piles[4].terms


def test_a_finger_drags_the_large_card(sorting):
    with sorting(size="phone", has_touch=True) as page:
        page.tap("#put-new")
        hand, pile = centre(page.locator("#current")), centre(page.locator(PILE.format(1)))
        touching(page, ("Start", [hand]), ("Move", [pile]), ("Move", [pile]), ("End", []))
        assert piles_of(answered(page)) == [("", ["w00", "w01"])]


def test_a_finger_draws_a_card_while_words_are_typed(sorting):
    with sorting(size="phone", has_touch=True) as page:
        page.tap("#put-new")
        page.tap("#put-new")
        page.tap(".unfold >> nth=0")
        page.locator('[data-words="1"]').press_sequentially("mild")
        box = page.locator(PILE.format(2)).bounding_box()
        hand, pile = centre(page.locator("#current")), (box["x"] + 20, box["y"] + 20)
        touching(page, ("Start", [hand]), ("Move", [pile]), ("Move", [pile]), ("End", []))
        assert told(page, "#progress-said") == "3 of 8 placed"
        page.locator('[data-words="1"]').blur()
        page.click("#undo")
        assert told(page, "#progress-said") == "2 of 8 placed"
        assert page.input_value('[data-words="1"]') == "mild"
        page.click("#undo")
        assert page.input_value('[data-words="1"]') == ""


def test_a_second_finger_leaves_nothing_on_the_screen(sorting):
    with sorting(size="phone", has_touch=True) as page:
        x, y = centre(page.locator("#current"))
        both = [(x, y - 60), (x + 20, y)]
        further = [(x, y - 80), (x + 20, y - 50)]
        steps = (("Start", [(x, y)]), ("Move", both[:1]), ("Start", both), ("Move", further))
        touching(page, *steps, ("End", []))
        assert page.locator(".ghost").count() == 0


def test_a_card_held_at_an_edge_goes_on(sorting):
    with sorting(asked(60)) as page:
        for _ in range(50):
            page.keyboard.press("0")
        page.evaluate("window.scrollTo(0, 0)")
        page.mouse.move(*centre(page.locator("#current")))
        page.mouse.down()
        page.mouse.move(700, 880, steps=4)  # and rests there
        until(page, "window.scrollY > 300")
        page.mouse.move(700, 450, steps=2)
        assert page.locator(".target").count() == 1
        page.mouse.up()
        assert told(page, "#progress-said") == "51 of 60 placed"


def test_all_that_is_in_hand_is_drawn(sorting):
    with sorting() as page:
        for place in ("new", 1, "new"):
            put(page, place)
        card(page, "w00").click()
        card(page, "w01").click(modifiers=["Control"])
        page.mouse.move(*centre(card(page, "w00")))
        page.mouse.down()
        page.mouse.move(*centre(page.locator(PILE.format(2))), steps=4)
        assert page.inner_text(".ghost") == "word 0, word 1"
        page.mouse.up()
        assert piles_of(answered(page)) == [("", ["w02", "w00", "w01"])]


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


def test_a_closed_window_loses_nothing(browser, tmp_path):
    path = written(tmp_path, asked())
    with windows(browser) as opening:
        page = opening(path)
        start(page)
        put(page, "new")
        put(page, "new")
        page.locator('[data-words="2"]').press_sequentially("half a wo")
        page.close()
        again = opening(path)
        assert told(again) == "Welcome back. Everything lies as you left it."
        assert in_hand(again) == "word 2"
        assert again.input_value('[data-words="2"]') == "half a wo"
        again.click("#undo")
        assert again.input_value('[data-words="2"]') == ""
        again.click("#undo")
        assert in_hand(again) == "word 1"
        # another person's page in the same browser knows nothing of it
        task = asked()
        other = replace(task, identity=replace(task.identity, participant="p08"))
        fresh = opening(written(tmp_path, other))
        assert fresh.is_visible("#agree")
        # a second window follows the first
        second = opening(path)
        put(second, 1)
        until(again, "document.getElementById('progress').value === 2")


def test_whatever_stands_under_its_name_it_opens(browser, tmp_path):
    path = written(tmp_path, asked())
    drafts = (
        "no json", "[]", "null", '{"agreed": true, "task": []}',
        '{"agreed": true, "seconds": "x", "saved": 5, "task": {"piles": [null, {"number": -1, '
        '"words": 5, "terms": ["w00", "w00", "nobody", 7]}, {"terms": ["w00", "w01"]}], '
        '"unknown": "w02", "past": [5, {"piles": 3}]}}',
    )  # fmt: skip
    for draft in drafts:
        with started(browser, path) as page:
            page.evaluate(
                "(text) => localStorage.setItem(Object.keys(localStorage)[0], text)", draft
            )
            page.reload()
            if page.is_visible("#start"):
                start(page)
            assert everything_in(answered(page)) == [f"w{at:02}" for at in range(8)]


def test_where_nothing_may_be_kept_it_is_said_and_a_file_goes_on(browser, tmp_path):
    path = written(tmp_path, asked())
    with windows(browser, script=BLOCKED) as opening:
        page = opening(path)
        assert page.is_visible("#view-start .not-kept")
        start(page)
        assert page.is_visible("#view-work .not-kept")
        put(page, "new")
        put(page, "unknown")
        page.fill('[data-words="1"]', "first")
        asking = []
        page.on("dialog", lambda dialog: (asking.append(dialog.type), dialog.dismiss()))
        page.close(run_before_unload=True)
        page.wait_for_timeout(300)
        assert asking == ["beforeunload"]
        data = saved(page)
        again = opening(path)
        reopen(again, data, "start")
        start(again)
        assert in_hand(again) == "word 2"
        put(again, 1)
        found = answered(again)
        assert piles_of(found) == [("first", ["w00", "w02"])]
        assert found.unknown == ("w01",)


def test_a_copied_text_goes_on_like_a_file(sorting):
    with sorting(size="desk") as page:
        put(page, "new")
        page.fill('[data-words="1"]', "grün")
        page.click("#to-end")
        page.click("#copy")
        until(page, "document.getElementById('text').value !== ''")
        mail = "Hello\n> " + page.input_value("#text").replace("\n", "\r\n> ")
        page.click("#to-work")
        page.click("#undo")
        page.click("#undo")
        page.click("#to-end")
        reopen(page, mail.encode(), name="mail.txt", said="opened")
        assert piles_of(answered(page)) == [("grün", ["w00"])]
        damaged = mail.replace(mail[90:100], mail[90:100].swapcase())
        reopen(page, damaged.encode(), name="mail.txt", said="no file")


def test_where_storage_works_nothing_is_said_of_it(sorting):
    with sorting() as page:
        assert page.locator(".not-kept:visible").count() == 0


def test_a_file_of_somebody_else_changes_nothing(sorting):
    with sorting() as page:
        put(page, "new")
        mine = json.loads(saved(page))
        for name, value in (("participant", "p08"), ("edition", "2027"), ("terms", "0" * 64)):
            file = json.dumps({**mine, name: value, "piles": []}).encode()
            reopen(page, file, said="another")
            page.evaluate("document.getElementById('end-said').textContent = ''")
        reopen(page, b"<html>", said="no file")
        assert piles_of(answered(page)) == [("", ["w00"])]


@pytest.mark.parametrize("allowed", [True, False])
def test_the_text_holds_what_the_file_holds(browser, tmp_path, allowed):
    labels = {f"t{at}": f"Säure {at}" for at in range(40)}
    path = written(tmp_path, asked(labels=labels))
    with started(browser, path, permissions=["clipboard-read", "clipboard-write"]) as page:
        if not allowed:
            page.evaluate(NO_CLIPBOARD)
        page.keyboard.press("0")
        page.fill('[data-words="1"]', "säuerlich, „grün“ 😀")
        page.keyboard.press("Tab")
        page.locator("#current").focus()
        for _ in range(20):
            page.keyboard.press("1")
        first = answered(page)
        page.click("#copy")
        until(page, "document.getElementById('end-said').textContent.includes('text')")
        text = page.input_value("#text")
        if allowed:
            assert page.evaluate("navigator.clipboard.readText()") == text
        else:
            marked = "[text.selectionStart, text.selectionEnd]"
            assert page.evaluate(f"() => {{ const text = byId('text'); return {marked}; }}") == [
                0,
                len(text),
            ]
            assert "Ctrl and C" in told(page, "#end-said")
    assert max(map(len, text.splitlines())) <= 60
    second = whole(f"Hello,\r\n> {text.replace(chr(10), chr(10) + '> ')}".encode())
    assert (second.piles, second.unplaced) == (first.piles, first.unplaced)
    assert second.piles[0].words == "säuerlich, „grün“ 😀"
    assert second.saved >= first.saved


def test_a_later_correction_is_told_and_saved_again(sorting):
    with sorting() as page:
        put(page, "new")
        first = answered(page)
        assert told(page, "#end-saved").startswith("Last saved:")
        page.click("#to-work")
        put(page, 1)
        page.click("#to-end")
        assert told(page, "#end-saved").startswith("You changed something")
        assert "6 cards are still open" in told(page, "#end-open")
        page.wait_for_timeout(1100)
        second = answered(page)
        assert told(page, "#end-saved").startswith("Last saved:")
    assert second.saved > first.saved
    assert len(second.piles[0].terms) == 2


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


def test_emptying_asks_first(sorting):
    with sorting() as page:
        put(page, "new")
        page.click("#to-end")
        page.once("dialog", lambda dialog: dialog.dismiss())
        page.click("#forget")
        assert page.evaluate("localStorage.length") == 1
        page.once("dialog", lambda dialog: dialog.accept())
        page.click("#forget")
        assert page.evaluate("localStorage.length") == 0
        page.reload()
        assert page.is_visible("#agree")
        assert not page.is_checked("#agree")


PLAY = """
(steps) => {
  const { cards } = JSON.parse(document.getElementById("data").textContent);
  const state = sortState(cards, 200);
  const first = JSON.stringify(state.answer());
  const seen = [];
  for (const [act, terms, place] of steps) {
    const numbers = state.piles().map((each) => each.number);
    if (act !== "put") state[act]();
    else if (typeof place === "string") state.put(terms, place);
    else if (numbers.length) state.put(terms, numbers[place % numbers.length]);
    seen.push(state.answer());
  }
  const last = JSON.stringify(state.answer());
  while (state.redo());
  while (state.undo());
  const back = JSON.stringify(state.answer());
  return { seen, first, back, last };
}
"""


def test_every_card_lies_in_one_place_whatever_is_done(sorting):
    terms = [f"w{at:02}" for at in range(20)]
    with sorting(asked(20)) as page:
        for seed in range(20):
            chance = random.Random(seed)
            steps = []
            for _ in range(60):
                act = chance.choice(["put", "put", "put", "undo", "redo"])
                place = chance.choice(["new", "unknown", "deck", 0, 1, 2, 3, 4])
                steps.append([act, chance.sample(terms, chance.randint(1, 3)), place])
            found = page.evaluate(PLAY, steps)
            for one in found["seen"]:
                lie = [*one["unknown"], *one["unplaced"]]
                lie += [term for pile in one["piles"] for term in pile["terms"]]
                assert sorted(lie) == terms
                assert all(pile["terms"] for pile in one["piles"])
            assert found["back"] == found["first"]


def test_the_page_hashes_as_the_standard_does(sorting):
    # oracle: hashlib; lengths around the block of 64 bytes and its padding
    with sorting() as page:
        for length in (0, 1, 54, 55, 56, 63, 64, 65, 119, 120, 1000):
            data = random.Random(length).randbytes(length)
            found = page.evaluate("(bytes) => sha256(new Uint8Array(bytes))", list(data))
            assert found == hashlib.sha256(data).hexdigest()
