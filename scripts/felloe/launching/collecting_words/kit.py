"""What was typed after `kit`: for everybody who is invited, what they are sent."""

import os
import sys
from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path

sys.path.append(str(Path(__file__).resolve().parents[3]))

from felloe.collecting.asked import Asked
from felloe.collecting.identity import Kind
from felloe.collecting.kit import kit_words
from felloe.collecting.kit.issuing import (
    KITS,
    Issuing,
    Make,
    compared,
    foreign,
    issued,
    told_otherwise,
)
from felloe.collecting.kit.kit_words import AGAIN, Done
from felloe.errors import Fault, StudyError
from felloe.launching.collecting_words.colour_kits import asked_for_colours
from felloe.launching.collecting_words.inviting import Inviting, read_inviting
from felloe.launching.collecting_words.sort_kits import asked_to_sort, freeze_orders
from felloe.launching.one_study import ended, reader_of, settings_and_folder
from felloe.launching.plan_study.observed import refused_by_a_run
from felloe.settings_merged import Settings
from felloe.validation.intake.lexicon.left_out import LEFT_OUT

COLOURS = "--colours"
MANY = 20  # kits that take longer than anybody wonders
INTERRUPTED = "Not every kit was written: {why}."


def main(typed: Sequence[str]) -> int:
    """
    Make the kits of a study; return the exit status.

    Parameters
    ----------
    typed : sequence of str
        What was typed after `kit`; settings files are absolute or relative to this folder.
    """
    options = {
        COLOURS: "ask for colours of terms, not for piles",
        AGAIN: "make kits anew that would differ now",
    }
    reader = reader_of("kit", "Make what everybody who is invited is sent.", options)
    asked = reader.parse_args(typed)

    def act() -> int:
        settings, folder = settings_and_folder(asked.study, asked.configfile)
        refuse_left_out(folder)
        make = colour_kits if asked.colours else sort_kits
        print(make(asked.study, folder, settings, asked.again))
        return 0

    return ended(act, INTERRUPTED)


def sort_kits(study: str, folder: Path, settings: Settings, again: bool) -> str:
    """Make the kits to sort with; return what was done."""
    inviting = read_inviting(study, folder, settings)
    asked, planned = asked_to_sort(inviting)
    found, make = ready(inviting, "sort", asked, again)
    freeze_orders(planned)
    done = written(found, make)
    each = {len(one.cards) for one in asked.values()}
    first = kit_words.sort_told(len(asked), each, len(inviting.terms), refused_by_a_run(planned))
    return told(inviting, done, first, found)


def colour_kits(study: str, folder: Path, settings: Settings, again: bool) -> str:
    """Make the kits to pick colours with; return what was done."""
    inviting = read_inviting(study, folder, settings)
    asked = asked_for_colours(inviting)
    found, make = ready(inviting, "colours", asked, again)
    done = written(found, make)
    dealt = Counter(card.term for one in asked.values() for card in one.cards)
    counts = [dealt[term] for term in inviting.terms]
    each = {len(one.cards) for one in asked.values()}
    fewest = settings["privacy"]["smallest_cell"]
    first = kit_words.colours_told(len(asked), each, counts, fewest)
    return told(inviting, done, first, found)


def written(found: Issuing, make: Make) -> Done:
    """Write what is to be written; say so beforehand where it takes a while."""
    new = [person for person in found.asked if found.kind not in found.given.get(person, {})]
    if (kits := len({*new, *found.changed})) > MANY:
        sys.stderr.write(kit_words.MAKING.format(kits=kits))
        sys.stderr.flush()
    return issued(found, make)


def ready(
    inviting: Inviting, kind: Kind, asked: Mapping[str, Asked], again: bool
) -> tuple[Issuing, Make]:
    """Return what is to be done and what makes it, or raise the reasons for which it may not be."""
    found = compared(inviting.folder / KITS, kind, asked, inviting.given, again)
    refuse(found.faults)
    make = inviting.making(kind, asked)
    refuse(foreign(found, make))
    return found, make


def refuse(faults: Sequence[Fault]) -> None:
    """Raise faults, if there are any."""
    if faults:
        raise StudyError(faults)


def refuse_left_out(folder: Path) -> None:
    """Refuse to ask anybody for fewer terms than those who were asked before."""
    path = folder / LEFT_OUT
    if os.path.lexists(path):
        problem, remedy = kit_words.LEFT_OUT_KITS, kit_words.LEFT_OUT_CURE
        raise StudyError([Fault(str(path), problem=problem, remedy=remedy)])


def told(inviting: Inviting, done: Done, first: str, found: Issuing) -> str:
    """Return what was done, and what to do next."""
    place = os.path.relpath(inviting.folder / KITS)
    gone = tuple(person for person in inviting.given if person not in inviting.people)
    notes = [*inviting.said(), *told_otherwise(found)]
    if found.kind == "colours" and done.made:
        notes.append(kit_words.COLOURS_STORED)
    return kit_words.told(place, first, done, gone, notes, found.kind)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
