"""Cards and piles on the page for sorting, as a hand, a mouse or fingers reach them."""

PILE = '.pile[data-drop="{}"]'


def put(page, place):
    page.click(f"{PILE.format(place)} .put")


def card(page, term):
    return page.locator(f'#table .card[data-term="{term}"]')


def centre(locator):
    box = locator.bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def drag(page, source, target):
    page.mouse.move(*centre(source))
    page.mouse.down()
    page.mouse.move(*centre(target), steps=5)
    page.mouse.up()


def touching(page, *steps):
    """Send touches: (kind, points)."""
    session = page.context.new_cdp_session(page)
    for kind, points in steps:
        touches = [{"x": x, "y": y, "id": at} for at, (x, y) in enumerate(points)]
        session.send("Input.dispatchTouchEvent", {"type": f"touch{kind}", "touchPoints": touches})
