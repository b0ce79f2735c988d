"""What a browser keeps of somebody's work: consent, second windows, and the way back."""

from dataclasses import replace

import pytest
from asked_example import asked
from browsing import until, windows
from kit_pages import piles_of, reopen, saved, start, told, whole, written

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
