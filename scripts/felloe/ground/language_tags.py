"""Tags of languages (RFC 5646): whether a text is one, how it is written, what is wider."""

import re

ENGLISH = "en"
# RFC 5646, 2.1, without what it keeps for the future, for old tags and for private use alone:
# language, extended language, script, region, variants, extensions, private use
TAG = re.compile(
    r"[a-z]{2,3}(-[a-z]{3}){0,3}(-[a-z]{4})?(-([a-z]{2}|[0-9]{3}))?"
    r"(-([a-z0-9]{5,8}|[0-9][a-z0-9]{3}))*(-[0-9a-wy-z](-[a-z0-9]{2,8})+)*"
    r"(-x(-[a-z0-9]{1,8})+)?",
    re.IGNORECASE | re.ASCII,
)
LONGEST_TAG = 35  # RFC 5646, 4.4.1: room for the longest tag without extensions


def canonical_tag(text: str) -> str | None:
    """
    Return a tag as the standard writes it, or None if the text is none.

    Parameters
    ----------
    text : str

    Returns
    -------
    str or None
        Small letters, but two of a region are large and four of a script have a large first one;
        behind the single letter of an extension all are small.

    References
    ----------
    Phillips & Davis (2009), RFC 5646, 2.1 (syntax) and 2.1.1 (letters).
    """
    if len(text) > LONGEST_TAG or not TAG.fullmatch(text):
        return None
    written: list[str] = []
    for part in text.lower().split("-"):
        plain = bool(written) and all(len(before) > 1 for before in written)
        if plain and part.isalpha():
            part = {2: part.upper(), 4: part.capitalize()}.get(len(part), part)
        written.append(part)
    return "-".join(written)


def wider_tags(tag: str) -> list[str]:
    """
    Return a tag and those that are left as its end is taken away, the nearest first.

    References
    ----------
    Phillips & Davis (2006), RFC 4647, 3.4 (lookup).
    """
    parts = tag.split("-")
    found = []
    while parts:
        found.append("-".join(parts))
        parts.pop()
        if parts and len(parts[-1]) == 1:  # what is left would end in the mark of an extension
            parts.pop()
    return found
