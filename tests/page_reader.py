"""A page as a browser's parser would find it."""

import base64
import hashlib
import json
from html.parser import HTMLParser

EMPTY = {"meta", "path", "circle", "rect", "input", "br", "link"}


class Reader(HTMLParser):
    """Collects elements, attributes, content and all that is shown as text, styles left out."""

    def __init__(self, page):
        super().__init__()
        self.elements, self.open, self.content, self.text = [], [], {}, ""
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
        if not any(tag == "style" for tag, _ in self.open):
            self.text += f"{text} "

    def all(self, tag, **attributes):
        wanted = attributes.items()
        return [
            (at, found)
            for at, (name, found) in enumerate(self.elements)
            if name == tag and all(found.get(key.rstrip("_")) == value for key, value in wanted)
        ]

    def told(self, field):
        """Return what the paragraphs of a field say."""
        return [self.content[at] for at, _ in self.all("p", **{"data-field": field})]

    def data(self):
        """Return what the page's own script reads."""
        return json.loads(self.content[self.all("script", id="data")[0][0]])


def allowed(text):
    """Return the source by which a policy allows a script or a style."""
    digest = hashlib.sha256(text.encode("utf-8")).digest()
    return f"'sha256-{base64.b64encode(digest).decode()}'"
