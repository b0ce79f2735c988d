"""Steps on the page for sorting: cards and words are moved, taken back and done again."""

import random

from asked_example import asked
from cards_and_piles import PILE, card, put
from kit_pages import answered, piles_of, told


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
