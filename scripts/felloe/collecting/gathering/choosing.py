"""Which of several returns of one person counts."""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta

from felloe.collecting.identity import Kind
from felloe.collecting.returned import Returned
from felloe.errors import Fault

AHEAD = " (that is still to come: is that clock right?)"
CHOOSE = "Choose one: take the others out of returns/."


@dataclass(frozen=True)
class Chosen:
    """
    One return for everybody who sent any.

    Attributes
    ----------
    sorts, colours : dict of str to Returned
        By participant, sorted.
    remarks : list of str
        What was passed over, and why.
    faults : list of Fault
    """

    sorts: dict[str, Returned] = field(default_factory=dict)
    colours: dict[str, Returned] = field(default_factory=dict)
    remarks: list[str] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)


def choose(returned: Iterable[Returned]) -> Chosen:
    """
    Choose among returns: of one person the one that was saved last counts.

    The same answer sent twice counts once. Where answers differ, each has to tell when it was
    saved, and one has to be the last.
    """
    sent: dict[tuple[str, Kind], list[Returned]] = {}
    for each in returned:
        sent.setdefault((each.identity.participant, each.identity.kind), []).append(each)
    chosen = Chosen()
    for (person, kind), several in sorted(sent.items()):
        one = last_of(person, several, chosen)
        (chosen.sorts if kind == "sort" else chosen.colours)[person] = one
    return chosen


def last_of(person: str, several: list[Returned], chosen: Chosen) -> Returned:
    """Return the answer that counts; say which was passed over, or that nobody can tell."""
    ordered = sorted(several, key=lambda each: each.source)
    if len(ordered) == 1:
        return ordered[0]
    if all(content(each) == content(ordered[0]) for each in ordered):
        where = ", ".join(each.source for each in ordered)
        chosen.remarks.append(f"{person} sent the same answer {len(ordered)} times: {where}.")
        return ordered[0]
    times = [each.saved for each in ordered]
    told = [time for time in times if time is not None]
    latest = [each for each in ordered if told and each.saved == max(told)]
    same = latest and all(content(each) == content(latest[0]) for each in latest)
    if len(told) < len(times) or not same:
        why = "not all say when they were saved" if len(told) < len(times) else "saved at one time"
        others = ", ".join(each.source for each in ordered[1:])
        problem = f"'{person}' sent {len(ordered)} different answers ({why}); also {others}"
        chosen.faults.append(Fault(ordered[0].source, problem=problem, remedy=CHOOSE))
        return ordered[0]
    for each in ordered:
        if each not in latest:
            chosen.remarks.append(
                f"{person}: {latest[0].source} counts, saved {at(latest[0].saved)}"
                f"{AHEAD if is_ahead(latest[0].saved) else ''}; passed over is "
                f"{each.source}, saved {at(each.saved)}."
            )
    return latest[0]


def content(returned: Returned) -> Returned:
    """Return an answer as it is compared: whatever the file, the time and the order of piles."""
    piles = sorted(
        (replace(pile, terms=tuple(sorted(pile.terms))) for pile in returned.piles),
        key=lambda pile: (pile.terms, pile.words),
    )
    return replace(
        returned,
        source="",
        saved=None,
        piles=tuple(piles),
        unknown=tuple(sorted(returned.unknown)),
        unplaced=tuple(sorted(returned.unplaced)),
        picks=dict(returned.picks),
    )


def is_ahead(time: datetime | None) -> bool:
    """Return whether a time is still to come; zones and slow clocks of our own aside."""
    return time is not None and time > datetime.now(UTC) + timedelta(days=1)


def at(time: datetime | None) -> str:
    """Return a time as it is told."""
    return time.isoformat(timespec="seconds") if time else "at no known time"
