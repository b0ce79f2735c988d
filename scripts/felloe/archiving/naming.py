"""Whether a text that somebody wrote names a participant after all."""

import re
from collections.abc import Collection, Iterator, Mapping

from felloe.archiving.zipping import Content, bytes_of

TEXTS = (".csv", ".json", ".jsonld", ".ttl", ".html", ".nwk", ".gpl")
FURNITURE = re.compile(
    r"<(script|style)\b.*?</\1>|data:[a-z]+/[a-z+.-]+;base64,[A-Za-z0-9+/=]+|<[^>]*>", re.DOTALL
)
PSEUDONYM = re.compile(r"(?=.*[^\W\d_])(?=.*\d).{3,}")


def pseudonyms(people: Collection[str], words: Collection[str]) -> list[str]:
    """
    Return the ids of people that can be told from other words: with a letter and a digit.

    Parameters
    ----------
    people : collection of str
        Participants and respondents.
    words : collection of str
        Ids of terms and populations, which name nobody.
    """
    return sorted(who for who in {*people} - {*words} if PSEUDONYM.fullmatch(who))


def named_in(members: Mapping[str, Content], people: Collection[str]) -> Iterator[tuple[str, str]]:
    """
    Yield every file in which people are named, with the first of them.

    Parameters
    ----------
    members : mapping of str to bytes or Path
    people : collection of str
        As `pseudonyms` returns them.
    """
    if not people:
        return
    named = re.compile(rf"(?<![\w#-])(?:{'|'.join(map(re.escape, people))})(?![\w-])")
    for name, content in members.items():
        if name.endswith(TEXTS):
            text = bytes_of(content).decode("utf-8", "replace")
            found = named.search(FURNITURE.sub(" ", text) if name.endswith(".html") else text)
            if found:
                yield name, found[0]
