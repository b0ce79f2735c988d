"""Cards as readers get them: the pages of the PDF as texts, the page, the terms in order."""

import re
from io import BytesIO

from card_example import LETTERING, setter_of
from felloe.report.cards.page import cards_page
from felloe.report.cards.pdf import cards_pdf
from pypdf import PdfReader


def squeezed(text):
    """Take out all blanks: where a reader of PDF sees one is its own guess."""
    return re.sub(r"\s+", "", text)


def texts_of(reader):
    """Return the text of every page of a PDF, squeezed."""
    return [squeezed(page.extract_text()) for page in reader.pages]


def outlined(reader):
    """Return the titles in the outline of a PDF: of classes, and of the terms below them."""
    top = [each.title for each in reader.outline if not isinstance(each, list)]
    below = [each.title for part in reader.outline if isinstance(part, list) for each in part]
    return top, below


def pages_of(chart, cautions=()):
    """Return the PDF of a chart's cards, as read, and the texts of its pages."""
    reader = PdfReader(BytesIO(cards_pdf(setter_of(chart, cautions).deck, LETTERING)))
    return reader, texts_of(reader)


def page_of(chart, cautions=()):
    """Return the page of a chart's cards."""
    return cards_page(setter_of(chart, cautions).deck, LETTERING)


def in_order(chart):
    """Return (class, subclass, term) of a chart in its order, one after the other."""
    for class_ in chart["classes"]:
        for subclass in class_["subclasses"]:
            for each in subclass["terms"] + subclass["absorbed"]:
                yield class_, subclass, each
