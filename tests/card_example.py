"""Charts for cards, with texts of any length, and words to fill them."""

import random

from felloe.report.cards.deck import deck_of
from felloe.report.cards.fonts import font_files
from felloe.report.cards.lettering import Lettering
from felloe.report.cards.setting import Setter

LETTERING = Lettering(font_files())
COLOUR = {"used": "#3f8f86", "outline": "#1f2421"}


def prose(length, seed=0):
    """Return text of so many characters: words of 1 to 24 letters, each with its own number."""
    random_ = random.Random(seed)
    text, number = "", 0
    while len(text) < length:
        number += 1
        letters = "".join(random_.choices("etaoinshrdlumwgfypbvk", k=random_.randint(1, 20)))
        text += f"{letters}{number} "
    return text[:length].strip()


def term(name, **changes):
    """Return a term of a chart."""
    return {
        "id": name,
        "label": f"Term {name}",
        "definition": f"What {name} is like.",
        "reference": f"5 g of {name}.",
        "caution": "None known.",
        "start_deg": 0.0,
        "status": "firm",
        "decision": None,
        "colour": {"used": "#b5524b", "picked": "#a04a44", "reason": "as_picked"},
        **changes,
    }


def group(identifier, **changes):
    """Return what a class and a subclass have in common."""
    name = f"Kin of {identifier}"
    given = {"id": identifier, "name": name, "name_is_proposal": False, "colour": COLOUR}
    return {**given, **changes}


def chart_with(terms, **changes):
    """Return a chart of one class with one subclass."""
    subclass = {**group("sub"), "terms": terms, "absorbed": []}
    given = {
        "title": "Words of a guild (invented data)",
        "edition": "2031",
        "language": "en",
        "untranslated": [],
        "provisional": False,
        "preview": False,
        "classes": [{**group("top"), "subclasses": [subclass]}],
    }
    return {**given, **changes}


def setter_of(chart, cautions=()):
    """Return the setter of a chart's cards."""
    return Setter(deck_of(chart, {"cautions": list(cautions)}), LETTERING)
