"""Every term followed through all editions: its classes, its moves, and how unsure its class is."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from felloe.editions.correspondence import NOISE, POSSIBLE, ROBUST, Bounds, grade_migration
from felloe.timeline.classes import Held, Relations, follow_classes, relation_between
from felloe.timeline.entropy import ClassEntropy, by_lines, class_entropy
from felloe.timeline.layout import Arranged, arrange
from felloe.timeline.paths import RETURNED, Path, Step, paths_of

NOT_COMPARED = "not_compared"  # over an edition that did not have the term
MOVES = (ROBUST, POSSIBLE, NOISE)  # grades of a change of class, the surest first


@dataclass(frozen=True)
class Stop:
    """
    One edition on the way.

    Attributes
    ----------
    study : str
    classes : dict of str to str
        Published class of each term.
    probabilities : dict of str to float
        How often replicates put it there, 0 to 1.
    shares : dict of str to dict of str to float
        Of each term: class of the data's own chart to the share of replicates.
    data_only : dict of str to str
        Class of each term in the data's own chart.
    """

    study: str
    classes: Mapping[str, str]
    probabilities: Mapping[str, float]
    shares: Mapping[str, Mapping[str, float]]
    data_only: Mapping[str, str]

    def published_of(self) -> dict[str, str]:
        """Return, for each class of the data's own chart, the published one with most of it."""
        counts: dict[str, dict[str, int]] = {}
        for term, own in self.data_only.items():
            of_own = counts.setdefault(own, {})
            of_own[self.classes[term]] = of_own.get(self.classes[term], 0) + 1
        return {own: min(of, key=lambda name: (-of[name], name)) for own, of in counts.items()}


@dataclass(frozen=True)
class Between:
    """
    What the comparison of two neighbouring editions found.

    Attributes
    ----------
    steps : tuple of Step
        Of the terms that both have.
    relations : mapping
        Of their classes.
    bounds : Bounds
    found : bool
        Whether their classes correspond better than chance at all.
    """

    steps: tuple[Step, ...]
    relations: Relations
    bounds: Bounds
    found: bool


@dataclass(frozen=True)
class Followed:
    """
    A path with what is known of it.

    Attributes
    ----------
    path : Path
    grades : tuple of (str or None)
        How surely it changed class into each edition: a grade of two editions (`none`, `robust`,
        `possible`, `noise`, `no_correspondence`) or `not_compared`; None where nothing led in.
    entropy : ClassEntropy or None
        Of its class; None if some of the comparisons found no correspondence of classes at all.
    """

    path: Path
    grades: tuple[str | None, ...]
    entropy: ClassEntropy | None

    @property
    def moves(self) -> list[tuple[int, str]]:
        """The editions into which it changed class, and how surely."""
        return [(place, grade) for place, grade in enumerate(self.grades) if grade in MOVES]

    @property
    def surest(self) -> str:
        """The surest grade of its moves; "" for none."""
        return next((grade for grade in MOVES if grade in self.grades), "")


@dataclass(frozen=True)
class Timeline:
    """
    All editions, classes and terms, and the order in which a picture shows them.

    Attributes
    ----------
    held : list of list of Held
        The classes of each edition.
    followed : list of Followed
    arranged : Arranged
    """

    held: list[list[Held]]
    followed: list[Followed]
    arranged: Arranged = field(repr=False)


def follow(stops: Sequence[Stop], between: Sequence[Between]) -> Timeline:
    """
    Follow every term and every class through three editions or more.

    Parameters
    ----------
    stops : sequence of Stop
        The editions, oldest first.
    between : sequence of Between
        The comparison of each with the next.

    Returns
    -------
    Timeline
    """
    names = [set(stop.classes.values()) for stop in stops]
    held = follow_classes(names, [each.relations for each in between])
    lines = [{one.id: one.line for one in here} for here in held]
    known = all(each.found for each in between)
    published = [stop.published_of() for stop in stops]
    paths = paths_of([stop.classes for stop in stops], [each.steps for each in between])
    followed = [
        Followed(
            path,
            grades_of(path, stops, between),
            entropy_of(path, stops, published, lines) if known else None,
        )
        for path in paths
    ]
    return Timeline(held, followed, arrange(*bands_and_links(paths, stops)))


def grades_of(
    path: Path, stops: Sequence[Stop], between: Sequence[Between]
) -> tuple[str | None, ...]:
    """Return how surely a term changed class into each edition of its path."""
    grades: list[str | None] = []
    for place, step in enumerate(path.steps):
        if step is None:
            grades.append(None)
        elif step.change == RETURNED:
            grades.append(NOT_COMPARED)
        else:
            grades.append(grade_of(step, stops[place - 1], stops[place], between[place - 1]))
    return tuple(grades)


def grade_of(step: Step, older: Stop, newer: Stop, between: Between) -> str:
    """
    Grade one change of class by the rule of two editions.

    A split or merged term stands outside their numbers; here each of its parts is held against
    the classes' correspondence as any other term.
    """
    classes = older.classes[step.older], newer.classes[step.newer]
    probable = older.probabilities[step.older], newer.probabilities[step.newer]
    relation = relation_between(*classes, between.relations)
    return grade_migration(relation, *probable, between.bounds)


def entropy_of(
    path: Path,
    stops: Sequence[Stop],
    published: Sequence[Mapping[str, str]],
    lines: Sequence[Mapping[str, int]],
) -> ClassEntropy:
    """Return the entropy of a path's class over the editions that have it, and their replicates."""
    return class_entropy(
        [
            by_lines(stops[place].shares[str(path.terms[place])], published[place], lines[place])
            for place in path.places
        ]
    )


def bands_and_links(
    paths: Sequence[Path], stops: Sequence[Stop]
) -> tuple[list[dict[str, list[str]]], list[list[tuple[str, str]]]]:
    """
    Return the bands of every edition with what stands in them, and what joins one to the next.

    A path that an edition interrupts goes through a band of its own there, `away` and the path's
    name; it holds one member of the same name.
    """
    bands: list[dict[str, list[str]]] = [{} for _ in stops]
    links: list[dict[tuple[str, str], None]] = [{} for _ in stops[1:]]
    for path in paths:
        members = members_of(path)
        for place, member in members.items():
            term = path.terms[place]
            band = member if term is None else stops[place].classes[term]
            names = bands[place].setdefault(band, [])
            if member not in names:
                names.append(member)
            if place + 1 in members:
                links[place][member, members[place + 1]] = None
    return bands, [list(of_pair) for of_pair in links]


def members_of(path: Path) -> dict[int, str]:
    """Return what a path is called in each edition from its first to its last."""
    places = range(path.places[0], path.places[-1] + 1)
    return {place: path.terms[place] or away(path.name) for place in places}


def away(path: str) -> str:
    """Return what a path is called in an edition that interrupts it; no id holds a blank."""
    return f"away {path}"
