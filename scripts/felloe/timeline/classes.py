"""What became of the classes: which go on as one line, which are born, gone, split or joined."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from felloe.editions.correspondence import MERGED, MOVED, NO_CORRESPONDENCE, SPLIT, STAYED

FIRST, LAST = "first", "last"  # of the list: nothing is known before and after
CONTINUED, BORN, PARTED, GONE, JOINED = "continued", "born", "split", "gone", "joined"
Relations = Mapping[tuple[str, str], str]  # older and newer class to their relation


@dataclass(frozen=True)
class Held:
    """
    A class in one edition, with where it came from and what became of it.

    Attributes
    ----------
    place : int
        The edition's, in the list.
    id : str
    line : int
        Classes that continue one another have one line; numbered from 1.
    began : {"first", "continued", "split", "born"}
    origin : str or None
        The older class that it continues or was split from.
    ended : {"last", "continued", "joined", "gone"}
    into : str or None
        The newer class that continues it or that it joined.
    """

    place: int
    id: str
    line: int
    began: str
    origin: str | None
    ended: str
    into: str | None


def follow_classes(
    classes: Sequence[Iterable[str]], relations: Sequence[Relations]
) -> list[list[Held]]:
    """
    Follow the classes through all editions, by the correspondence of each two in sequence.

    A class continues the older class that it is matched with better than chance. One that
    continues none, and holds terms of an older class more than of all others, was split from it;
    else it is born. An older class that none continues, and most of whose terms are in one newer
    class, has joined that; else it is gone. What more than half means, and chance, is said where
    the relations come from.

    Parameters
    ----------
    classes : sequence of iterable of str
        Ids of each edition's classes, oldest first.
    relations : sequence of mapping
        Of each edition's classes to the next one's, where they share terms.

    Returns
    -------
    list of list of Held
        For each edition, by the class's id.
    """
    found: list[list[Held]] = []
    lines: dict[str, int] = {}
    number = 0
    last = len(classes) - 1
    for place, names in enumerate(classes):
        before = relations[place - 1] if place else {}
        after = relations[place] if place < last else {}
        here = []
        for name in sorted(names):
            began, origin = beginning(name, before) if place else (FIRST, None)
            line = lines.get(str(origin)) if began == CONTINUED else None
            if line is None:
                number += 1
                line = number
            ended, into = ending(name, after) if place < last else (LAST, None)
            here.append(Held(place, name, line, began, origin, ended, into))
        lines = {held.id: held.line for held in here}
        found.append(here)
    return found


def beginning(name: str, relations: Relations) -> tuple[str, str | None]:
    """Return how a class came into an edition, and from which older class."""
    for told, began in ((STAYED, CONTINUED), (SPLIT, PARTED)):
        for (older, newer), relation in sorted(relations.items()):
            if newer == name and relation == told:
                return began, older
    return BORN, None


def ending(name: str, relations: Relations) -> tuple[str, str | None]:
    """Return what became of a class in the next edition, and in which newer class."""
    for told, ended in ((STAYED, CONTINUED), (MERGED, JOINED)):
        for (older, newer), relation in sorted(relations.items()):
            if older == name and relation == told:
                return ended, newer
    return GONE, None


def relation_between(older: str, newer: str, relations: Relations) -> str:
    """
    Return how two classes stand to each other, also where no common term is in both.

    Nothing can be told where neither has a counterpart better than chance.
    """
    if (older, newer) in relations:
        return relations[older, newer]
    stayed = [pair for pair, relation in relations.items() if relation == STAYED]
    held = any(pair[0] == older for pair in stayed) or any(pair[1] == newer for pair in stayed)
    return MOVED if held else NO_CORRESPONDENCE
