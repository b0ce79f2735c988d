"""What a browser keeps of somebody's work: consent, second windows, and the way back."""

from dataclasses import replace

import pytest
from asked_example import asked, everything_in
from browsing import BLOCKED, until, windows
from cards_and_piles import put
from kit_pages import (
    answered,
    in_hand,
    piles_of,
    reopen,
    saved,
    start,
    started,
    told,
    whole,
    written,
)

BACK = "document.getElementById('progress').value === {}"


@pytest.fixture
def opening(browser):
    """Return what opens pages side by side in one browser."""
    with windows(browser) as opening:
        yield opening


@pytest.fixture
def path(tmp_path):
    return written(tmp_path, asked())


def begun(opening, path):
    """Open a page, agree, and put the first card into a pile."""
    page = opening(path)
    start(page)
    page.keyboard.press("0")
    return page


def test_another_consent_text_is_agreed_to_anew(opening, tmp_path):
    task = asked()
    page = begun(opening, written(tmp_path, task))
    page.close()
    later = replace(task, consent=replace(task.consent, stored="Your sort, for ten years."))
    page = opening(written(tmp_path, later))
    assert page.is_visible("#agree")
    assert not page.is_checked("#agree")
    start(page)
    assert told(page, "#progress-said") == "1 of 8 placed"
    page.reload()
    assert page.is_visible("#board")


def test_a_file_opened_before_somebody_agrees_is_not_kept(browser, opening, path):
    page = begun(opening, path)
    data = saved(page)
    with windows(browser) as opening_elsewhere:
        page = opening_elsewhere(path)
        reopen(page, data, "start")
        assert page.evaluate("localStorage.length") == 0
        start(page)
        assert told(page, "#progress-said") == "1 of 8 placed"
        assert page.evaluate("localStorage.length") == 1


def test_what_one_window_removes_no_other_brings_back(opening, path):
    first = begun(opening, path)
    second = opening(path)
    first.click("#to-end")
    first.once("dialog", lambda dialog: dialog.accept())
    first.click("#forget")
    until(second, "!document.getElementById('view-start').hidden")
    second.keyboard.press("0")
    second.wait_for_timeout(200)
    assert second.evaluate("localStorage.length") == 0
    assert not second.is_checked("#agree")


def test_time_that_another_window_counts_takes_no_step_away(opening, tmp_path):
    path = written(tmp_path, asked(40))
    first = opening(path)
    start(first)
    for _ in range(30):
        first.keyboard.press("0")
    first.keyboard.press("Control+z")
    second = opening(path)
    second.evaluate("""() => {
      const [name] = Object.keys(localStorage);
      const kept = JSON.parse(localStorage.getItem(name));
      localStorage.setItem(name, JSON.stringify({ ...kept, seconds: kept.seconds + 5 }));
    }""")
    first.wait_for_timeout(300)
    first.keyboard.press("Control+y")
    assert told(first, "#progress-said") == "30 of 40 placed"
    for _ in range(30):
        first.keyboard.press("Control+z")
    assert told(first, "#progress-said") == "0 of 40 placed"


def test_a_window_that_slept_reads_what_is_kept(opening, path):
    page = begun(opening, path)
    # a window is told nothing of what it writes itself, as little as one that sleeps
    page.evaluate("""() => {
      const [name] = Object.keys(localStorage);
      const kept = JSON.parse(localStorage.getItem(name));
      kept.task.unknown = ["w07"];
      localStorage.setItem(name, JSON.stringify(kept));
      document.dispatchEvent(new Event("visibilitychange"));
    }""")
    until(page, BACK.format(2))
    assert whole(saved(page)).unknown == ("w07",)


def test_words_that_another_window_wrote_are_those_shown(opening, path):
    first = begun(opening, path)
    first.locator('[data-words="1"]').press_sequentially("mild")
    second = opening(path)
    second.fill('[data-words="1"]', "sour")
    second.locator('[data-words="1"]').blur()
    until(first, "document.querySelector('[data-words]').value === 'sour'")
    assert piles_of(whole(saved(first))) == [("sour", ["w00"])]


def test_words_half_typed_are_a_step_after_a_closed_window_too(opening, path):
    page = begun(opening, path)
    page.locator('[data-words="1"]').press_sequentially("mild")
    page.close()
    page = opening(path)
    page.click("#undo")
    assert piles_of(whole(saved(page))) == [("", ["w00"])]


def test_a_closed_window_loses_nothing(opening, path, tmp_path):
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


def test_whatever_stands_under_its_name_it_opens(browser, path):
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


def test_where_nothing_may_be_kept_it_is_said_and_a_file_goes_on(browser, path):
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


def test_where_storage_works_nothing_is_said_of_it(sorting):
    with sorting() as page:
        assert page.locator(".not-kept:visible").count() == 0


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
