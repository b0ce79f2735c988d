"""Cards on the page for sorting are reached by keyboard, buttons, mouse and fingers."""

from asked_example import asked, everything_in
from browsing import FITS, opened, until
from cards_and_piles import PILE, card, centre, drag, put, touching
from kit_pages import answered, piles_of, tab_to, told, whole, written


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
