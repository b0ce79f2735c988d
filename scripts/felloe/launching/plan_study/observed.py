"""The answer to: how many people are shown both of two terms?"""

from collections.abc import Iterable, Sequence

from felloe.allocation import words
from felloe.allocation.allocating import shown_to_each
from felloe.allocation.observers import Observers, bound, observers
from felloe.ground.arrays import Ints
from felloe.launching.plan_study.planned import Planned

ALL = "All of them"


def seen_by_how_many(planned: Planned) -> str:
    """Answer how many people are shown both of two terms, by population."""
    if not planned.people:
        return "\n\n".join([words.NOBODY, *whole_lexicon(planned)])
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
        # each population is dealt for itself: how even all of them are is judged by nothing
        limit = None if name is None else bound(sizes, n_terms)
        lines += words.observer_lines(label, found, limit, sizes, planned.terms)
        if name is not None:
            remarks += unknown_of(planned, label, found, sets)
    return "\n".join(lines) + "".join(f"\n\n{each}" for each in [*remarks, *remarked(planned)])


def unknown_of(planned: Planned, label: str, found: Observers, sets: Sequence[Ints]) -> list[str]:
    """Return what a population would leave unknown."""
    remarks, most = [], planned.settings["matrices"]["most_unseen_pairs"]
    if never := in_no_set(planned.terms, sets):
        remarks.append(words.never_shown(label, never))
    if too_many_unseen(found, most):
        remarks.append(words.too_many_unseen(label, len(found.unseen) / found.pairs, most))
    return remarks


def in_no_set(terms: Sequence[str], sets: Iterable[Ints]) -> list[str]:
    """Return the terms that nobody is shown."""
    shown: set[int] = set().union(*(own.tolist() for own in sets))
    return [term for place, term in enumerate(terms) if place not in shown]


def too_many_unseen(found: Observers, most: float) -> bool:
    """Return whether a run would refuse a study in which nobody sees so many pairs."""
    return len(found.unseen) > most * found.pairs


def refused_by_a_run(planned: Planned) -> list[str]:
    """Return the labels of the populations for which a run would refuse the design."""
    n_terms, most = len(planned.terms), planned.settings["matrices"]["most_unseen_pairs"]
    return [
        label
        for name, label in planned.populations.items()
        if name in planned.people.values()
        and too_many_unseen(observers(planned.sets_of(name), n_terms), most)
    ]


def whole_lexicon(planned: Planned) -> list[str]:
    """Return what is said where nobody is shown a part, or nobody who is new."""
    n_terms, design = len(planned.terms), planned.settings["design"]
    nobody_new = planned.issued and not planned.given
    if shown_to_each(design, n_terms) < n_terms or nobody_new:
        return []
    return [words.all_shown(n_terms, design, only_new=bool(planned.issued))]


def remarked(planned: Planned) -> list[str]:
    """Return what has to be said of the lexicon as a whole."""
    remarks = whole_lexicon(planned)
    if planned.issued and (late := in_no_set(planned.terms, planned.issued.values())):
        remarks.append(words.late_terms(late, len(planned.given)))
    return remarks
