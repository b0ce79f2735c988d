"""A page of a kit in a browser: opened, started, and what it gives back."""

import re
from contextlib import contextmanager
from mimetypes import guess_type

from asked_example import asked
from browsing import opened, until
from felloe.collecting.page.reading import read_return
from felloe.collecting.page.sort_page import colour_page, sort_page

PAGES = {"sort": sort_page, "colours": colour_page}
NO_CLIPBOARD = "void (navigator.clipboard.writeText = () => Promise.reject(new Error()));"
HOLDS_FOCUS = "document.activeElement.matches({!r})"


def written(folder, task):
    """Write the page of a task; return its path."""
    path = folder / f"{task.identity.participant}-{task.identity.kind}.html"
    path.write_text(PAGES[task.identity.kind](task), encoding="utf-8")
    return path


def starting(browser, folder, kind):
    """Return what opens the page of a task of a kind, started."""

    def opening(task=None, **how):
        return started(browser, written(folder, task or asked(kind=kind)), **how)

    return opening


@contextmanager
def started(browser, path, **how):
    """Open a page and agree."""
    with opened(browser, path, **how) as page:
        start(page)
        yield page


def start(page):
    if page.locator("#agree").count():
        page.check("#agree")
    page.click("#start")


def saved(page):
    """Save the file at the end; return its bytes."""
    if not page.is_visible("#save"):
        page.click("#to-end")
    with page.expect_download() as waiting:
        page.click("#save")
    return waiting.value.path().read_bytes()


def reopen(page, data, view="end", name="x.json", said=""):
    """Open a file that was saved or sent, and wait until the page says something of it."""
    file = {"name": name, "mimeType": guess_type(name)[0], "buffer": data}
    page.set_input_files(f"#reopen-{view}", file)
    told = f"document.getElementById('{view}-said').textContent"
    until(page, f"{told} !== '' && {told}.includes('{said}')")


def answered(page):
    """Return the answer in the file that the page saves."""
    return whole(saved(page))


def whole(data):
    """Return the answer in some bytes."""
    returned, faults = read_return(data, "returns/x")
    assert faults == []
    return returned


def piles_of(returned):
    """Return the piles as lists of terms, with their words."""
    return [(pile.words, list(pile.terms)) for pile in returned.piles]


def told(page, selector="#said"):
    """Return what an element says, without the marks that isolate words of the study."""
    return re.sub("[\u2068\u2069]", "", page.inner_text(selector))


def in_hand(page):
    return page.inner_text("#current")


def tab_to(page, selector, most=80):
    """Press the Tab key until an element has the keyboard."""
    for _ in range(most):
        page.keyboard.press("Tab")
        if page.evaluate(HOLDS_FOCUS.format(selector)):
            return
    raise AssertionError(f"the Tab key leads never to {selector}")
