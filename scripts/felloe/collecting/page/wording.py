"""The words of the pages, from one file for each language; apart from those of results."""

from functools import cache
from pathlib import Path

import yaml

from felloe.ground.language_tags import ENGLISH, wider_tags
from felloe.report.languages.language_words import Words, flat

HERE = Path(__file__).parent
READS = ("collecting/page/*.yaml",)


def page_languages() -> list[str]:
    """Return the tags of the languages that the pages have words in, sorted."""
    return sorted(path.stem for path in HERE.glob("*.yaml"))


@cache
def page_words(language: str) -> Words:
    """
    Return the words of the pages in a language.

    Parameters
    ----------
    language : str
        Tag. Without a file of its own the next wider tag is looked for (`de-AT`, then `de`),
        in the end English.
    """
    found = next((tag for tag in wider_tags(language) if tag in page_languages()), ENGLISH)
    content = yaml.safe_load((HERE / f"{found}.yaml").read_text(encoding="utf-8"))
    return Words(found, language, dict(flat(content)))
