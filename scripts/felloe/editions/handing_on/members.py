"""What members are told of every older word: what became of it, where it is now, and why."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby

from felloe.editions.correspondence import MERGED as PART_OF
from felloe.editions.correspondence import MOVED, ROBUST
from felloe.editions.linking.link_faults import same_reference, same_wording
from felloe.editions.linking.links import (
    EXACT,
    MERGED,
    NEW,
    REDEFINED,
    RENAMED,
    RETIRED,
    SPLIT,
    Link,
)
from felloe.editions.linking.suggested import plain
from felloe.ground.files.tables import Row
from felloe.report.languages.language_words import Words


@dataclass(frozen=True)
class Told:
    """
    One older word.

    Attributes
    ----------
    term, word : str
        Id and wording in the older edition.
    became, place, why : str
        Sentences; `why` is empty where nothing changed.
    newer : tuple of str
        Terms of the newer edition that it leads to.
    relation : str
        Of its link.
    given : bool
        Whether `why` is the newer study's own text.
    same : bool
        Whether nothing changed.
    """

    term: str
    word: str
    became: str
    place: str
    why: str
    newer: tuple[str, ...]
    relation: str
    given: bool = False
    same: bool = False


@dataclass(frozen=True)
class Between:
    """
    Two editions, as members are told of them.

    Attributes
    ----------
    older, newer : dict of str to dict
        Term to its row of the study's table of terms.
    links : sequence of Link
        Of every term.
    fates : sequence of dict
        The editions' `terms.csv`.
    classes : sequence of dict
        `classes` of the editions' `comparison.json`.
    words : Words
        In the language of the newer study.
    """

    older: Mapping[str, Row]
    newer: Mapping[str, Row]
    links: Sequence[Link]
    fates: Sequence[Row]
    classes: Sequence[Row]
    words: Words

    def told(self) -> list[Told]:
        """Return every older word, by letter."""
        fate_of = {
            (row["change"] == RETIRED, row["term"]): row for row in self.fates
        }  # an id tells one newer term, or one retired
        found = []
        for link in self.links:
            for term in link.older:
                gone = link.relation == RETIRED
                fate = fate_of[gone, term if gone else link.newer[0]]
                found.append(self.word(link, term, fate))
        return sorted(found, key=lambda one: (*by_letter(one.word), one.term))

    def word(self, link: Link, term: str, fate: Row) -> Told:
        """Return what is told of one older word; `fate` is a row of `terms.csv` about it."""
        became, changed = self.became(link, term, fate)
        why, given = link.reason, bool(link.reason)
        if not why and changed:
            why = self.words[self.unreasoned(link, term, fate)]
        return Told(
            term,
            self.older[term]["label"],
            became,
            self.place(link, fate),
            why,
            link.newer,
            link.relation,
            given,
            not changed,
        )

    def became(self, link: Link, term: str, fate: Row) -> tuple[str, bool]:
        """Return what became of a word, and whether anything did."""
        was = self.older[term]
        if link.relation == MERGED:
            others = ", ".join(self.older[each]["label"] for each in link.older if each != term)
            return self.say("merged", others=others), True
        if link.relation == SPLIT:
            return self.say("split_itself" if term in link.newer else "split"), True
        if link.relation == RETIRED:
            return self.say("retired"), True
        now = self.newer[link.newer[0]]
        relabelled = was["label"] != now["label"]
        if link.relation == REDEFINED:
            only_shown = same_wording(was, now) and not same_reference(was, now)
            if relabelled:
                key = "referenced_renamed" if only_shown else "redefined_renamed"
                return self.say(key, label=now["label"]), True
            return self.say("referenced" if only_shown else "redefined"), True
        if relabelled:
            key = "renamed" if link.relation == RENAMED else "relabelled"
            return self.say(key, label=now["label"]), True
        if moved(fate):
            return self.say("moved", was=fate["class_name_older"]), True
        if not same_wording(was, now):
            return self.say("reworded"), True
        return self.say("kept"), False

    def unreasoned(self, link: Link, term: str, fate: Row) -> str:
        """Return the key of what is said where the crosswalk gives no reason."""
        if link.relation not in (EXACT, RENAMED):
            return "members.why_unsaid"
        was, now = self.older[term], self.newer[link.newer[0]]
        if was["label"] != now["label"]:
            meant = bool(was["definition"]) and same_wording(was, now)
            return "members.why_label" if meant else "members.why_unsaid"
        if moved(fate):
            return "members.why_decided" if fate["decided_newer"] else "members.why_sorted"
        return "members.why_unsaid"

    def place(self, link: Link, fate: Row) -> str:
        """Return where a word is now; of a retired one where it leads, or that it leads nowhere."""
        places = ", ".join(self.named(term) for term in link.newer)
        if link.relation != RETIRED:
            return places
        if places:
            return self.say("instead", places=places)
        was, heir, name = fate["class_name_older"], fate["heir"], fate["heir_name"]
        if not heir:
            return self.say("nowhere", was=was)
        if (fate["class_older"], heir, PART_OF) in self.ways:
            return self.say("heir_merged", was=was, name=name)
        return self.say("heir_same" if name == was else "heir", was=was, name=name)

    @cached_property
    def ways(self) -> set[tuple[str, str, str]]:
        """Older class, newer class, and how the one stands to the other."""
        return {(row["older"], row["newer"], row["relation"]) for row in self.classes}

    def new_words(self) -> list[str]:
        """Return where every word is that has no older one, by letter."""
        terms = [term for link in self.links if link.relation == NEW for term in link.newer]
        terms.sort(key=lambda term: by_letter(self.newer[term]["label"]))
        return [self.named(term) for term in terms]

    def named(self, term: str) -> str:
        """Return a newer term and its class in words."""
        name = self.names[term]
        return self.say("in_class", label=self.newer[term]["label"], name=name)

    @cached_property
    def names(self) -> dict[str, str]:
        """Each newer term, and the name of its class."""
        return {row["term"]: row["class_name_newer"] for row in self.fates}

    def say(self, key: str, **values: str) -> str:
        """Return a sentence of the language's own file."""
        return self.words.fill(f"members.{key}", **values)


def told_same(told: Sequence[Told], words: Words) -> str:
    """Return of how many words no change is told."""
    counts = {"number": sum(one.same for one in told), "total": len(told)}
    return words.fill(
        "members.same", **{name: words.number(count, "count") for name, count in counts.items()}
    )


def moved(fate: Row) -> bool:
    """Return whether a term may be said to have changed its class: only robust moves may."""
    return bool(fate["relation"] == MOVED and fate["migration"] == ROBUST)


def by_letter(word: str) -> tuple[bool, str, str]:
    """Return what words are sorted by; those without a letter in front come last."""
    text = plain(word)
    return (not text[:1].isalpha(), text, word)


def lettered(told: Iterable[Told]) -> Iterator[tuple[str, list[Told]]]:
    """Yield words that are sorted by letter under each letter; "" for those that have none."""

    def letter(one: Told) -> str:
        first = plain(one.word)[:1]
        return first.upper() if first.isalpha() else ""

    for first, words in groupby(told, letter):
        yield first, list(words)


def rows_told(told: Iterable[Told]) -> list[Row]:
    """Return words as rows of the table."""
    return [
        {
            "old_word": one.word,
            "what_became_of_it": one.became,
            "where_it_is_now": one.place,
            "why": one.why,
            "term": one.term,
            "newer": one.newer,
            "relation": one.relation,
        }
        for one in told
    ]
