"""What the sheets of a kit are called and hold, for whoever writes them and whoever reads them."""

import hashlib
from collections.abc import Iterable, Mapping

from felloe.collecting.identity import Identity, Kind
from felloe.validation.intake.raw.characters import cleaned

FORM = "felloe-sheet-1"
OWN = ("term", "check")  # hidden columns: they say which row is which, whatever was typed beside it
COLUMNS: dict[Kind, tuple[str, ...]] = {
    "sort": ("number", "word", "definition", "pile", "unknown", *OWN),
    "colours": ("number", "word", "definition", "colour", *OWN),
}
OPEN = ("pile", "unknown", "colour")  # what a person fills in
PILE_COLUMNS = ("pile", "count", "words")
HEAD = "head."  # before the name of a column, where `about` says what stands above it
SHEET = "sheet."
MINUTES = "minutes"
IDENTITY = ("kind", "study", "edition", "participant", "terms")
SAID = ("form", *IDENTITY, "language", "cards")
CHECK_LENGTH = 12


def row_check(identity: Identity, number: int, term: str, word: str) -> str:
    """Return the check of a row: it holds for one card of one person's kit alone."""
    return digest([*identity_texts(identity), str(number), term, cleaned(word)])


def whole_check(said: Mapping[str, str]) -> str:
    """Return the check over what a kit says of itself: whose it is, and what its heads mean."""
    names = [name for name in sorted(said) if name in SAID or name.startswith((HEAD, SHEET))]
    return digest(f"{name}\t{cleaned(said[name])}" for name in names)


def identity_texts(identity: Identity) -> list[str]:
    """Return whose kit it is, in the order of `IDENTITY`."""
    return [str(getattr(identity, name)) for name in IDENTITY]


def digest(texts: Iterable[str]) -> str:
    """Return the first digits of the SHA-256 of some texts."""
    return hashlib.sha256("\n".join(texts).encode()).hexdigest()[:CHECK_LENGTH]
