"""One return, held against what was asked of that person."""

import math
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from felloe.collecting.gathering.expected import Expected
from felloe.collecting.kit.invited import NAME as INVITATIONS
from felloe.collecting.returned import Returned
from felloe.errors import Fault
from felloe.validation.intake.lexicon.left_out import LEFT_OUT
from felloe.validation.intake.lexicon.vocabulary import judge_colour
from felloe.validation.intake.raw.cells import judge_text
from felloe.validation.intake.raw.characters import IDENTIFIER, cleaned

TAKE_OUT = "Take it out of returns/."
NAMED = 8  # terms in one message
MOST_MINUTES = 999_999  # what `participants.csv` can hold
COPY_MARK = re.compile(r"[ _-]?\(\d+\)$")  # of a browser that saved a name twice
KINDS = ("-sort", "-colours")  # at the end of what a page saves


def faults_of(returned: Returned, expected: Expected) -> list[Fault]:
    """
    Return what is wrong with a return; where it is not one of this study, nothing else is said.

    Parameters
    ----------
    returned : Returned
    expected : Expected
    """
    alien = list(not_of_this_study(returned, expected))
    if alien:
        return alien
    found = [*of_terms(returned, expected), *of_words(returned, expected)]
    return [*found, *of_picks(returned), *of_minutes(returned)]


def not_of_this_study(returned: Returned, expected: Expected) -> Iterator[Fault]:
    """Tell a return of another study, edition, lexicon or person."""
    named, source = returned.identity, returned.source
    if named.study != expected.study:
        problem = f"is of another study, not of '{expected.study}'"
        yield Fault(source, 0, "study", named.study, problem, TAKE_OUT)
        return
    if named.edition != expected.edition:
        problem = f"is of another edition, not of {expected.edition}"
        yield Fault(source, 0, "edition", named.edition, problem, TAKE_OUT)
        return
    person = named.participant
    if expected.has_withdrawn(person):
        problem, remedy = "is of somebody who withdrew", "Delete it."
        yield Fault(source, 0, "participant", person, problem, remedy)
        return
    if person not in expected.people:  # nobody guesses who was meant
        problem = f"is of a participant who is not in {INVITATIONS}"
        yield Fault(source, 0, "participant", person, problem, TAKE_OUT)
        return
    if named.terms != expected.sha256:
        problem = "was made from another lexicon: terms or labels of terms.csv are others now"
        remedy = f"Put terms.csv back as it was issued (with {LEFT_OUT}, if any). Or: {TAKE_OUT}"
        yield Fault(source, 0, "terms", named.terms[:8], problem, remedy)
        return
    if named.kind == "sort" and person not in expected.shown:
        problem = f"'{person}' was issued no terms: design.csv has no line for them"
        yield Fault(source, 0, "participant", person, problem, "Put their lines back.")
    if named.kind == "colours" and person not in expected.dealt:
        problem = f"'{person}' was asked for no colours, as far as kit/{person}/issued.json says"
        yield Fault(source, 0, "participant", person, problem, "Put the record back.")
    named_here = names_in(source, expected.study)
    others = [name for name in named_here if name in expected.people]
    if others and person not in named_here:
        problem = f"is named as the return of '{others[0]}', and holds that of '{person}'"
        remedy = "Ask whose it is, and name the file so."
        yield Fault(source, 0, "participant", person, problem, remedy)


def names_in(source: str | Path, study: str) -> list[str]:
    """
    Return the participants whom the name of a file may give, if it is named as the kit names.

    They may be two: `-sort` and `-colours` stand behind an id, and an id may end so.
    """
    stem = COPY_MARK.sub("", Path(source).stem)
    whole = stem.removeprefix(f"{study}-")
    if whole == stem:
        return []
    bare = [whole.removesuffix(kind) for kind in KINDS if whole.endswith(kind)]
    return [name for name in (whole, *bare) if IDENTIFIER.fullmatch(name)]


def of_terms(returned: Returned, expected: Expected) -> Iterator[Fault]:
    """Tell terms that were not asked about, stand twice, or of which nothing is said."""
    person, source = returned.identity.participant, returned.source
    sorts = returned.identity.kind == "sort"
    shown = (expected.shown if sorts else expected.dealt).get(person, ())
    said = [term for pile in returned.piles for term in pile.terms]
    told = Counter([*said, *returned.unknown, *returned.unplaced, *returned.picks])
    for term in sorted(set(told) - set(shown)):
        known = term in expected.labels
        asked = "shown" if sorts else "asked for the colour of"
        problem = f"'{person}' was not {asked} '{term}'" if known else "is no term of terms.csv"
        yield Fault(source, 0, "term", term, problem, f"The file was changed. {TAKE_OUT}")
    for term in sorted(term for term, n in told.items() if n > 1 and term in shown):
        yield Fault(source, 0, "term", term, "stands twice", "Ask for the return anew.")
    if lost := sorted(set(shown) - set(told)):
        problem = f"says nothing of {counted_terms(lost)}"
        yield Fault(source, 0, "term", "", problem, "It is damaged: ask for it anew.")


def counted_terms(terms: list[str]) -> str:
    """Return the number of some terms and the first of them."""
    more = f" and {len(terms) - NAMED} more" if len(terms) > NAMED else ""
    number = f"{len(terms)} term{'s' if len(terms) > 1 else ''}"
    return f"{number}: {', '.join(terms[:NAMED])}{more}"


def of_words(returned: Returned, expected: Expected) -> Iterator[Fault]:
    """Tell words for a pile that no table can hold."""
    judge = judge_text(expected.limits.longest_text)
    for pile in returned.piles:
        if verdict := judge(plain_words(pile.words)):
            yield Fault(returned.source, 0, "words", pile.words, *verdict)


def plain_words(words: str) -> str:
    """Return words for a pile on one line, composed, with single blanks."""
    return cleaned(re.sub(r"\s+", " ", words))


def of_minutes(returned: Returned) -> Iterator[Fault]:
    """Tell minutes that are no time."""
    minutes = returned.minutes
    if minutes is not None and not (math.isfinite(minutes) and 0 <= minutes <= MOST_MINUTES):
        problem, remedy = "is no number of minutes", "The file was changed: ask for it anew."
        yield Fault(returned.source, 0, "minutes", str(minutes), problem, remedy)


def of_picks(returned: Returned) -> Iterator[Fault]:
    """Tell colours that are none."""
    for term, colour in sorted(returned.picks.items()):
        if verdict := judge_colour(colour):
            yield Fault(returned.source, 0, term, colour, *verdict)
