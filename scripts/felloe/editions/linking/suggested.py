"""Links that somebody might declare: proposed to be edited and copied, never assumed."""

import unicodedata
from collections.abc import Iterable, Mapping
from difflib import SequenceMatcher

from felloe.editions.linking.link_faults import same_wording
from felloe.editions.linking.links import NEW, NOWHERE, REDEFINED, RENAMED, RETIRED, SAME_ID, Link
from felloe.ground.files.tables import Row
from felloe.validation.relations import SUGGESTED

# Least likeness of ids or labels: 'beet' and 'beets' have 0.89, 'malt' and 'salt' 0.75.
# Rule of thumb, no source.
LIKE = 0.8


def likeness(one: str, other: str) -> float:
    """
    Return how far two words are spelt alike, 0 to 1.

    Letters and digits alone count, see `plain`; blanks do not. It is Ratcliff and Obershelp's:
    twice the letters in common blocks, by the letters of both; the larger of both directions.
    """
    a, b = ("".join(plain(word).split()) for word in (one, other))
    if a == b:
        return float(bool(a))
    return max(SequenceMatcher(None, x, y, autojunk=False).ratio() for x, y in ((a, b), (b, a)))


def plain(word: str) -> str:
    """Return a word's letters, digits and blanks, small, without accents and signs."""
    parts = unicodedata.normalize("NFKD", word.casefold())
    return "".join(each for each in parts if each.isalnum() or each.isspace()).strip()


def suggested_links(
    older: Mapping[str, Row], newer: Mapping[str, Row], links: Iterable[Link]
) -> list[Link]:
    """
    Return what nobody declared and somebody should look at.

    Terms without a counterpart whose ids or labels are nearly the same are proposed as renamed
    (as redefined, if the label stayed and the definition did not), each with the one it is most
    like; terms kept under one id whose definition changed, as redefined.

    Parameters
    ----------
    older, newer : dict of str to dict
        Term to its row of the study's table of terms.
    links : iterable of Link
        Of every term.

    Returns
    -------
    list of Link
        In the order of the older ids; the reason is `suggested`.
    """
    known = list(links)
    alone = [link for link in known if link.source == NOWHERE]
    gone = [term for link in alone if link.relation == RETIRED for term in link.older]
    fresh = [term for link in alone if link.relation == NEW for term in link.newer]
    found = [
        Link(link.older, link.newer, REDEFINED, SUGGESTED)
        for link in known
        if link.source == SAME_ID and not same_wording(older[link.older[0]], newer[link.newer[0]])
    ]
    for was, now in like_pairs(older, newer, gone, fresh):
        one, other = older[was], newer[now]
        if one["label"] != other["label"]:
            found.append(Link((was,), (now,), RENAMED, SUGGESTED))
        elif not same_wording(one, other):
            found.append(Link((was,), (now,), REDEFINED, SUGGESTED))
    return sorted(found, key=lambda link: link.older)


def like_pairs(
    older: Mapping[str, Row],
    newer: Mapping[str, Row],
    gone: Iterable[str],
    fresh: Iterable[str],
) -> list[tuple[str, str]]:
    """Return pairs of terms that are spelt nearly alike, each term once, the most alike first."""
    found = []
    for was in gone:
        for now in fresh:
            labels = older[was]["label"], newer[now]["label"]
            like = max(likeness(was, now), likeness(*labels))
            if like >= LIKE:
                found.append((-like, was, now))
    taken: set[tuple[str, str]] = set()
    pairs = []
    for _, was, now in sorted(found):
        if taken.isdisjoint({("older", was), ("newer", now)}):
            taken |= {("older", was), ("newer", now)}
            pairs.append((was, now))
    return pairs
