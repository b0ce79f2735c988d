"""What is said of returns, on a screen."""

from collections.abc import Iterable, Sequence

from felloe.allocation.words import named
from felloe.collecting.gathering.expected import Expected
from felloe.collecting.gathering.gathering import Gathered
from felloe.collecting.returned import Returned
from felloe.validation.intake.lexicon.left_out import LEFT_OUT, WAY_OUT

WITH_INCOMPLETE = "--with-incomplete"
NOTHING_WRITTEN = (
    "Nothing was written. Mend this, or take the files out of returns/, and try again."
)
REFUSED = "As far as sorts have come, a run would refuse this study:"
CURE = f"If more sorts do not change that: {WAY_OUT} (config/README.md)."
CAUTION = """\
sorts.csv, participants.csv, pile_words.csv and colours.csv tell of single people: keep them, and
returns/ and gathered/, where nobody else reads them. Whole results do not name them
(config/README.md)."""


def overview(gathered: Gathered, with_incomplete: bool) -> str:
    """Return who answered, who did not, and what is remarkable."""
    parts = [
        answered(gathered),
        not_answered(gathered),
        incomplete(gathered.incomplete, with_incomplete),
        left_out(gathered.expected),
        unknown_words(gathered.counted.values()),
        nothing_known(gathered),
        colours(gathered),
        listed("Remarks:", gathered.remarks),
    ]
    return "\n\n".join(part for part in parts if part)


def answered(gathered: Gathered) -> str:
    """Return how many answers count, by population."""
    expected, lines = gathered.expected, []
    for name, label in expected.populations.items():
        asked = [who for who, of in expected.people.items() if of == name]
        count = sum(who in gathered.counted for who in asked)
        lines.append(f"  {label}: {count} of {len(asked)}")
    return "\n".join(["Sorts that count, of the people invited:", *lines])


def not_answered(gathered: Gathered) -> str:
    """Return who has sent no sort, by population."""
    expected, lines = gathered.expected, []
    for name, label in expected.populations.items():
        silent = [
            who
            for who, of in expected.people.items()
            if of == name and who not in gathered.chosen.sorts
        ]
        if silent:
            lines.append(f"  {label} ({len(silent)}): {', '.join(silent)}")
    return "\n".join(["No sort yet that can be read:", *lines]) if lines else ""


def incomplete(sorts: dict[str, Returned], with_incomplete: bool) -> str:
    """Return what is missing in incomplete sorts, and whether they count."""
    how = f"left out; {WITH_INCOMPLETE} counts them, what is missing as not placed"
    how = "counted, what is missing as not placed" if with_incomplete else how
    lines = [
        f"{who} ({each.source}): {len(each.unplaced)} of {n_terms(each)} terms are missing: "
        f"{', '.join(sorted(each.unplaced))}"
        for who, each in sorted(sorts.items())
    ]
    return listed(f"Incomplete ({how}):", lines)


def n_terms(returned: Returned) -> int:
    """Return how many terms an answer tells of."""
    placed = sum(len(pile.terms) for pile in returned.piles)
    return placed + len(returned.unknown) + len(returned.unplaced)


def unknown_words(counted: Iterable[Returned]) -> str:
    """Return how many people do not know which words; who they are is not said."""
    number: dict[str, int] = {}
    for each in counted:
        for term in each.unknown:
            number[term] = number.get(term, 0) + 1
    if not number:
        return ""
    most_first = sorted(number, key=lambda term: (-number[term], term))
    return f"Words that people do not know: {', '.join(f'{t} ({number[t]})' for t in most_first)}"


def left_out(expected: Expected) -> str:
    """Return which terms people were shown that no table has."""
    terms = ", ".join(sorted(expected.left_out))
    return f"left out: {terms} ({LEFT_OUT})" if terms else ""


def nothing_known(gathered: Gathered) -> str:
    """Return which terms nobody placed, of all or of one population: a run refuses that."""
    expected = gathered.expected
    terms = set(expected.labels) - expected.left_out
    never = {
        name: terms - placed
        for name in expected.populations
        if (placed := placed_by(gathered, name)) is not None
    }
    by_nobody = set.intersection(*never.values()) if never else set()
    lines = [f"nobody placed {named(sorted(by_nobody))}"] if by_nobody else []
    for name, own in never.items():
        if own - by_nobody:
            lines.append(f"nobody of '{name}' placed {named(sorted(own - by_nobody))}")
    return "\n".join([listed(REFUSED, lines), CURE]) if lines else ""


def placed_by(gathered: Gathered, population: str) -> set[str] | None:
    """Return the terms that somebody of a population placed; None of whom no sort counts."""
    sorts = [
        each
        for who, each in gathered.counted.items()
        if gathered.expected.people[who] == population
    ]
    return {term for each in sorts for pile in each.piles for term in pile.terms} if sorts else None


def colours(gathered: Gathered) -> str:
    """Return how many picked colours, and who left terms without one."""
    picked = gathered.chosen.colours
    if not picked:
        return ""
    lines = [
        f"{who} ({each.source}): no colour for {', '.join(sorted(each.unplaced))}"
        for who, each in sorted(picked.items())
        if each.unplaced
    ]
    asked = gathered.expected.dealt
    silent = [who for who in asked if who not in picked and who in gathered.expected.people]
    if silent:
        lines.append(f"No colours yet ({len(silent)}): {', '.join(silent)}")
    return listed(f"Colours: picked by {len(picked)} of {len(asked)} who were asked.", lines)


def listed(heading: str, lines: Sequence[str]) -> str:
    """Return a heading with indented lines; without lines the heading of a count alone."""
    if not lines and heading.endswith(":"):
        return ""
    return "\n".join([heading, *(f"  {line}" for line in lines)])
