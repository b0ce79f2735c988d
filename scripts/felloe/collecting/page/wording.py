"""The words of the pages, from one file for each language; apart from those of results."""

from pathlib import Path

from felloe.report.languages.language_words import Words, languages_in, words_in

HERE = Path(__file__).parent
READS = ("collecting/page/*.yaml",)


def page_languages() -> list[str]:
    """Return the tags of the languages that the pages have words in, sorted."""
    return languages_in(HERE)


def page_words(language: str) -> Words:
    """
    Return the words of the pages in a language.

    Parameters
    ----------
    language : str
        Tag. Without a file of its own the next wider tag is looked for (`de-AT`, then `de`),
        in the end English.
    """
    return words_in(HERE, language)
