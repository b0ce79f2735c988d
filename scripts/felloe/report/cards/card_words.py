"""The fixed sentences of the cards, in the language of their chart."""

from felloe.report.language_words import interface_words


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
