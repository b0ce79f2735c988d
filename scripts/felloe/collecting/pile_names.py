"""What people write to say in which pile a card lies, whatever they write it in."""

import re

from felloe.validation.intake.raw.cells import WHOLE_NUMBER, plain_pile

# `1/2`, `1 2`, `3?`, `#3`: a number with signs alone; `1 or 2`: numbers with a word between
SEVERAL = re.compile(r"[\W\d_]*\d[\W\d_]*|\d+\W+\w+\W+\d+")
UNKNOWN = "?"  # instead of a pile: the person does not know the word
ONE_NUMBER = (
    "is no number of one pile",
    "Write one number alone: 1, 2, 3 ...; a card lies in one pile.",
)


def called(text: str) -> str:
    """Return a pile as it is compared: numbers without zeros, words with single blanks."""
    return plain_pile(" ".join(text.split()))


def unclear(text: str) -> tuple[str, str] | None:
    """Return (problem, remedy) of numbers that do not tell one pile, or None."""
    return ONE_NUMBER if not WHOLE_NUMBER.fullmatch(text) and SEVERAL.fullmatch(text) else None
