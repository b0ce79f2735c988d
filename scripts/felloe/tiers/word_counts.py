"""People's own words for their piles, as candidates for the names of groups."""

import re
import unicodedata
from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from statistics import fmean  # the same in whatever order people come

from felloe.validation.intake.raw.characters import INVISIBLE

FEWEST = 3  # people, whatever the settings say: nobody's wording is told alone
UNSEEN = re.compile(f"[\u00ad{INVISIBLE}]")  # what an office program leaves in a word
BETWEEN = re.compile(r"[,;/\n]")  # several words for one pile are parted by these
Groups = Mapping[str, frozenset[str]]


@dataclass(frozen=True)
class NamedPile:
    """
    A pile for which somebody had words.

    Attributes
    ----------
    person : str
    terms : frozenset of str
        What lies in it.
    placed : frozenset of str
        All that the person placed: of what they did not place nobody knows where it belongs.
    words : str
        As they were written.
    """

    person: str
    terms: frozenset[str]
    placed: frozenset[str]
    words: str


@dataclass(frozen=True)
class Candidate:
    """
    A word that several people used for a group.

    Attributes
    ----------
    group : str
    word : str
    people : int
        Who used it for a pile that this group overlaps more than any other of its tier.
    jaccard : float
        Mean over these people of the overlap: shared terms, of all in pile or group.
    """

    group: str
    word: str
    people: int
    jaccard: float


def phrases(words: str) -> list[str]:
    """
    Return the single words or phrases of what somebody wrote, each once, as it is told.

    Parted are they by comma, semicolon, stroke and line end; composed (NFC), with single blanks
    and without what nobody sees.
    """
    seen = unicodedata.normalize("NFC", UNSEEN.sub("", words))
    parts = (" ".join(part.split()) for part in BETWEEN.split(seen))
    return list(dict.fromkeys(part for part in parts if part))


def compared(phrase: str) -> str:
    """Return a phrase as it is compared: capitals are the same as small letters."""
    return unicodedata.normalize("NFC", phrase.casefold())


def overlap(pile: NamedPile, group: Collection[str]) -> float:
    """Return the Jaccard index of a pile and a group, of the group what the person placed."""
    own = pile.placed.intersection(group)
    both = len(own & pile.terms)
    return both / (len(own) + len(pile.terms) - both) if both else 0.0


def nearest_groups(pile: NamedPile, groups: Groups) -> dict[str, float]:
    """Return the groups that overlap a pile most, several where they tie; none without overlap."""
    found = {name: overlap(pile, terms) for name, terms in groups.items()}
    most = max(found.values(), default=0.0)
    return {name: value for name, value in found.items() if value == most > 0}


def candidates(piles: Iterable[NamedPile], groups: Groups, least: int) -> list[Candidate]:
    """
    Return the words that enough people used for the groups of one tier.

    Parameters
    ----------
    piles : iterable of NamedPile
    groups : mapping of str to frozenset of str
        Terms by id of the group.
    least : int
        People who have to have used a word; what fewer wrote is told nowhere.

    Returns
    -------
    list of Candidate
        By group; the words that most people used first, then those of the largest overlap. A
        person counts once for a word and group, with the pile that overlaps most. A spelling is
        told if that many people wrote it so, else small letters.
    """
    used: dict[tuple[str, str], dict[str, float]] = {}
    spelt: dict[tuple[str, str], dict[str, set[str]]] = {}
    for pile in piles:
        for group, value in nearest_groups(pile, groups).items():
            for phrase in phrases(pile.words):
                key = group, compared(phrase)
                people = used.setdefault(key, {})
                people[pile.person] = max(value, people.get(pile.person, 0.0))
                spelt.setdefault(key, {}).setdefault(phrase, set()).add(pile.person)
    found = [
        Candidate(
            key[0], told(key[1], spelt[key], least), len(people), fmean(people.values())
        )
        for key, people in used.items()
        if len(people) >= least
    ]  # fmt: skip
    return sorted(found, key=lambda one: (one.group, -one.people, -one.jaccard, one.word))


def told(word: str, spellings: Mapping[str, Collection[str]], least: int) -> str:
    """Return the spelling that most people used, if it is nobody's own; else the bare word."""
    counts = Counter({spelling: len(people) for spelling, people in spellings.items()})
    common = max(counts, key=lambda spelling: (counts[spelling], spelling))
    return common if counts[common] >= least else word
