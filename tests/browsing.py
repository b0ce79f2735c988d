"""Pages opened in a real browser, and what is asked of them there."""

from contextlib import contextmanager

import pytest

SIZES = {"phone": (390, 844), "tablet": (820, 1180), "desk": (1440, 900)}
PAGES = {
    "wheel": "brine-2026/report/wheel.html",
    "report": "brine-2026/report/report.html",
    "cards": "brine-2026/report/cards.html",
    "ballot": "brine-2026/report/ballot.html",
    "editions": "editions/brine-2016--brine-2026/report.html",
}
FITS = "document.documentElement.scrollWidth <= innerWidth"
# what a browser says and does where it may keep nothing
BLOCKED = "Object.defineProperty(window, 'localStorage', { get() { throw new Error('no'); } });"
SCALE = "document.querySelector('.scene').getScreenCTM().a"


@contextmanager
def windows(browser, size="desk", scheme="light", script="", **options):
    """
    Return what opens pages from disk side by side in one browser, a script run before their own.

    Nothing may be asked of a network, and no error be told in any.
    """
    width, height = SIZES[size]
    view = {"width": width, "height": height}
    context, wrong = browser.new_context(viewport=view, color_scheme=scheme, **options), []
    if script:
        context.add_init_script(script)

    def opening(path, fragment=""):
        page = context.new_page()
        page.on("console", lambda said: wrong.append(said.text) if said.type == "error" else None)
        page.on("pageerror", lambda error: wrong.append(str(error)))
        page.on("request", lambda asked: wrong.append(asked.url) if is_foreign(asked.url) else None)
        page.goto(f"{path.resolve().as_uri()}{fragment}")
        return page

    try:
        yield opening
        assert wrong == []
    finally:
        context.close()


@contextmanager
def opened(browser, path, size="desk", scheme="light", fragment="", **options):
    """Open a page from disk in a browser of its own."""
    with windows(browser, size, scheme, **options) as opening:
        yield opening(path, fragment)


def is_foreign(address):
    return not address.startswith(("file:", "data:", "blob:"))


def violations(page):
    """Return what axe-core finds, a line each."""
    from axe_playwright_python.sync_playwright import Axe

    found = Axe().run(page).response["violations"]
    return [f"{one['id']}: {node['html'][:160]}" for one in found for node in one["nodes"][:3]]


def until(page, script):
    """Wait for something to become true (Playwright's own way needs `eval`, which pages forbid)."""
    for _ in range(100):
        if page.evaluate(script):
            return
        page.wait_for_timeout(50)
    pytest.fail(f"never became true: {script}")


def heading(page):
    return page.inner_text("#shown h2")


def address(page):
    return page.evaluate("decodeURIComponent(location.hash)")


def middle_of(page, key):
    """Return the middle of a term on the screen: of its word, which lies on its spoke."""
    box = page.locator(f"#wheel-{key} .look > .area").bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def under(page, x, y):
    script = "([x, y]) => document.elementFromPoint(x, y).closest('.piece')?.dataset.key"
    return page.evaluate(script, [x, y])
