"""The fixed sentences of the cards, in the language of their chart."""

import re
from functools import cache

from felloe.report.languages.language_words import interface_words, known_languages


def said(key: str, language: str = "en", **values: object) -> str:
    """
    Return a fixed sentence of the cards.

    Parameters
    ----------
    key : str
        Of the group `cards` in the language's file.
    language : str
        Tag of the language; without a file of its own, English is said.
    **values : object
        What the sentence has places for.
    """
    return interface_words(language).fill(f"cards.{key}", **values)


def terms_said(count: int, language: str = "en") -> str:
    """Return a number of terms in words."""
    return said("term_one" if count == 1 else "term_many", language, count=count)


def smelt_only(text: str) -> bool:
    """
    Return whether a caution or a reference says that something is smelt only.

    It does with these words at the start of a sentence, before a stop, a colon, a semicolon, a
    comma or its end, in any language that has a file: what is untranslated stands in another.
    """
    return bool(smelling().search(text))


@cache
def smelling() -> re.Pattern[str]:
    """Return the pattern of a sentence that starts with "smell only"."""
    words = "|".join(re.escape(said("smell_only", language)) for language in known_languages())
    return re.compile(rf"(?:^|[.!?]\s+)(?:{words})\s*(?:[.,:;!]|$)", re.IGNORECASE)
