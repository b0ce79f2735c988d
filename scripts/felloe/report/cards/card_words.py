"""What the cards understand of the words of a study, in whatever language."""

import re
from functools import cache

from felloe.report.languages.language_words import known_languages, texts_of


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
    told = (texts_of(language)["cards.smell_only"] for language in known_languages())
    words = "|".join(map(re.escape, told))
    return re.compile(rf"(?:^|[.!?]\s+)(?:{words})\s*(?:[.,:;!]|$)", re.IGNORECASE)
