"""Every term's way through all editions, by what became of it from each one to the next."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

# changes as the editions' terms.csv has them, and one beside them
KEPT, RENAMED, NEW, RETIRED = "kept", "renamed", "new", "retired"
RETURNED = "returned"
Node = tuple[int, str]  # an edition's place in the list, and a term's id in it


@dataclass(frozen=True)
class Step:
    """
    What became of one term from one edition to the next.

    Attributes
    ----------
    older, newer : str
        Its ids in both.
    change : str
        As in the editions' `terms.csv`; `returned` where the editions between did not have it.
    reason : str
        As the crosswalk gives it; "" for none.
    """

    older: str
    newer: str
    change: str
    reason: str = ""


@dataclass(frozen=True)
class Path:
    """
    One way through the editions: as long as can be.

    Attributes
    ----------
    terms : tuple of (str or None)
        The id in each edition; None where it is not there.
    steps : tuple of (Step or None)
        How it came into each edition; None into its first one, and where it is not there.
    """

    terms: tuple[str | None, ...]
    steps: tuple[Step | None, ...]

    @property
    def places(self) -> tuple[int, ...]:
        """The editions that have it, by their places in the list."""
        return tuple(place for place, term in enumerate(self.terms) if term is not None)

    @property
    def name(self) -> str:
        """The ids in all editions; no other path has the same."""
        return " > ".join(term or "_" for term in self.terms)

    @property
    def last_term(self) -> str:
        """The id in the last edition that has it."""
        return str(self.terms[self.places[-1]])


def paths_of(terms: Sequence[Collection[str]], steps: Sequence[Sequence[Step]]) -> list[Path]:
    """
    Follow every term through all editions.

    A term that was split goes on as several paths that begin alike, one that was merged ends
    several paths alike. A term that ends in one edition and whose id is there again after at least
    one edition without it has come back, and its path goes on; what was declared as another term
    from one edition to the next is another.

    Parameters
    ----------
    terms : sequence of collection of str
        Of each edition, oldest first.
    steps : sequence of sequence of Step
        From each edition to the next; of terms that both have.

    Returns
    -------
    list of Path
        By the last id, then by name.
    """
    ways = ways_of(terms, steps)
    begun = {(place, step.newer) for found in ways.values() for place, step in found}
    starts = [(place, term) for place, here in enumerate(terms) for term in sorted(here)]
    found = [
        path_along(nodes, len(terms))
        for start in starts
        if start not in begun
        for nodes in onwards(start, ways)
    ]
    return sorted(found, key=lambda path: (path.last_term, path.name))


def ways_of(
    terms: Sequence[Collection[str]], steps: Sequence[Sequence[Step]]
) -> dict[Node, list[tuple[int, Step]]]:
    """Return where each term of each edition goes on: the edition's place, and the step."""
    ways: dict[Node, list[tuple[int, Step]]] = defaultdict(list)
    for place, of_pair in enumerate(steps):
        for step in sorted(of_pair, key=lambda step: (step.older, step.newer)):
            ways[place, step.older].append((place + 1, step))
    begun = {(place, step.newer) for found in ways.values() for place, step in found}
    for place, here in enumerate(terms):
        for term in sorted(here):
            before = last_with(term, terms, place)
            if (place, term) not in begun and before is not None and not ways.get((before, term)):
                ways[before, term].append((place, Step(term, term, RETURNED)))
    return ways


def last_with(term: str, terms: Sequence[Collection[str]], place: int) -> int | None:
    """Return the last edition with an id before those without it; None if there is none."""
    found = [before for before in range(place) if term in terms[before]]
    return found[-1] if found and found[-1] < place - 1 else None


def onwards(
    start: Node, ways: Mapping[Node, Sequence[tuple[int, Step]]]
) -> Iterable[list[tuple[int, Step]]]:
    """Yield every way from a term to its end, the first step being none."""
    origin = (start[0], Step("", start[1], ""))
    waiting = [[origin]]
    while waiting:
        way = waiting.pop()
        place, step = way[-1]
        further = ways.get((place, step.newer), ())
        if not further:
            yield way
        waiting.extend([*way, each] for each in reversed(further))


def path_along(nodes: Sequence[tuple[int, Step]], number: int) -> Path:
    """Return the path along some steps, the first of which is where it begins."""
    terms: list[str | None] = [None] * number
    steps: list[Step | None] = [None] * number
    for place, step in nodes:
        terms[place] = step.newer
        steps[place] = step if step.older else None
    return Path(tuple(terms), tuple(steps))
