"""The answer to: how many people are shown both of two terms?"""

from collections.abc import Sequence

from felloe.allocation import words
from felloe.allocation.observers import Observers, bound, observers
from felloe.ground.arrays import Ints
from felloe.launching.plan_study.planned import Planned

ALL = "All of them"


def seen_by_how_many(planned: Planned) -> str:
    """Answer how many people are shown both of two terms, by population."""
    if not planned.people:
        return words.NOBODY
    if planned.whole:
        return words.WHOLE.format(terms=len(planned.terms), sorts=planned.whole)
    there = [name for name in planned.populations if name in planned.people.values()]
    labels: dict[str | None, str] = {name: planned.populations[name] for name in there}
    if len(there) > 1:
        labels[None] = ALL
    lines, remarks = [words.HEADING, ""], []
    n_terms = len(planned.terms)
    for name, label in labels.items():
        sets = planned.sets_of(name)
        sizes, found = [len(own) for own in sets], observers(sets, n_terms)
        limit = bound(sizes, n_terms)
        lines += words.observer_lines(label, found, limit, sizes, planned.terms)
        if name is not None:
            remarks += unknown_of(planned, label, found, sets)
    return "\n".join(lines) + "".join(f"\n\n{each}" for each in [*remarks, *remarked(planned)])


def unknown_of(planned: Planned, label: str, found: Observers, sets: Sequence[Ints]) -> list[str]:
    """Return what a population would leave unknown."""
    remarks, most = [], planned.settings["matrices"]["most_unseen_pairs"]
    never = set(range(len(planned.terms))).difference(*(own.tolist() for own in sets))
    if never:
        remarks.append(words.never_shown(label, [planned.terms[j] for j in sorted(never)]))
    if len(found.unseen) > most * found.pairs:
        remarks.append(words.too_many_unseen(label, len(found.unseen) / found.pairs, most))
    return remarks


def remarked(planned: Planned) -> list[str]:
    """Return what has to be said of the lexicon as a whole."""
    n_terms, each = len(planned.terms), planned.settings["design"]["terms_per_participant"]
    if planned.issued:
        seen = set().union(*(own.tolist() for own in planned.issued.values()))
        late = [term for place, term in enumerate(planned.terms) if place not in seen]
        return [words.late_terms(late, len(planned.given))] if late else []
    return [words.ALL_SHOWN.format(terms=n_terms, each=each)] if each >= n_terms else []
