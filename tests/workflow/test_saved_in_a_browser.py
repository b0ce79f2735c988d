"""What the page for sorting saves and opens again: the file, and the text that holds the same."""

import hashlib
import json
import random

import pytest
from asked_example import asked
from browsing import until
from cards_and_piles import put
from kit_pages import NO_CLIPBOARD, answered, piles_of, reopen, saved, started, told, whole, written


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


def test_the_page_hashes_as_the_standard_does(sorting):
    # oracle: hashlib; lengths around the block of 64 bytes and its padding
    with sorting() as page:
        for length in (0, 1, 54, 55, 56, 63, 64, 65, 119, 120, 1000):
            data = random.Random(length).randbytes(length)
            found = page.evaluate("(bytes) => sha256(new Uint8Array(bytes))", list(data))
            assert found == hashlib.sha256(data).hexdigest()
