"""The wheel's page of a chart: written, and read as a browser's parser would find it."""

import json
from html.parser import HTMLParser

from felloe.report.chart import chart_terms
from felloe.report.languages.language_words import interface_words
from felloe.report.screen.wheel_page import wheel_page
from felloe.report.typeface.shaping import typesetter

EMPTY = {"meta", "path", "circle", "rect", "input", "br", "link"}
PAGE_WORDS = {k: v for k, v in interface_words("en").items() if k.startswith("page.")}
WEAK = 0.5


class Reader(HTMLParser):
    """Collects elements, attributes and text as a browser's parser would find them."""

    def __init__(self, page):
        super().__init__()
        self.elements, self.open, self.content = [], [], {}
        self.feed(page)

    def handle_starttag(self, tag, attributes):
        self.elements.append((tag, dict(attributes)))
        if tag not in EMPTY:
            self.open.append((tag, len(self.elements) - 1))

    def handle_startendtag(self, tag, attributes):
        self.elements.append((tag, dict(attributes)))

    def handle_endtag(self, tag):
        while self.open and self.open.pop()[0] != tag:
            pass

    def handle_data(self, text):
        for _, at in self.open:
            self.content[at] = self.content.get(at, "") + text

    def all(self, tag, **attributes):
        wanted = attributes.items()
        return [
            (at, found)
            for at, (name, found) in enumerate(self.elements)
            if name == tag and all(found.get(key.rstrip("_")) == value for key, value in wanted)
        ]


def written(chart):
    return wheel_page(chart, typesetter(), WEAK)


def changed(chart, change):
    """Return a copy of a chart, each of its terms changed."""
    copy = json.loads(json.dumps(chart))
    for _, _, term in chart_terms(copy, True):
        change(term)
    return copy
