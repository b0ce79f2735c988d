"""What differences amount to for whoever reads the chart: codes, names and values."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Fact:
    """A value of the whole chart in both runs; None: not known."""

    name: str
    was: str | float | None
    now: str | float | None


@dataclass(frozen=True)
class Move:
    """
    Something about a term that is not the same in both runs.

    Attributes
    ----------
    kind : {"class", "subclass", "status", "absorbed", "data_class"}
        data_class: the class on the chart from the data alone.
    term, label : str
    was, now : str
        Names of groups, or codes.
    """

    kind: str
    term: str
    label: str
    was: str
    now: str


@dataclass(frozen=True)
class Pair:
    """Two neighbours on the ring by their names, and which run has them so."""

    tier: str
    one: str
    other: str
    side: str


@dataclass(frozen=True)
class ColourChange:
    """A colour of the chart that is not the same in both runs."""

    tier: str
    name: str
    was: str
    now: str


@dataclass(frozen=True)
class Renamed:
    """A group that stands for one of the other run and has another name there."""

    tier: str
    was: str
    now: str


@dataclass(frozen=True)
class Effects:
    """
    What the differences amount to for whoever reads the chart.

    Attributes
    ----------
    facts : tuple of Fact
        Those that differ.
    n_terms : int
        That both runs have.
    terms_was, terms_now : tuple of str
        Labels of terms that only the one or the other has.
    moves : tuple of Move
    renamed : tuple of Renamed
    n_neighbours_changed : int or None
        Terms of both rings whose two neighbours are not the same; None: a ring is not known.
    pairs : tuple of Pair
        Neighbours that only the one or the other has.
    colours : tuple of ColourChange
    unread : tuple of str
        Files, with their side, that could not be read.
    """

    facts: tuple[Fact, ...] = ()
    n_terms: int = 0
    terms_was: tuple[str, ...] = ()
    terms_now: tuple[str, ...] = ()
    moves: tuple[Move, ...] = ()
    renamed: tuple[Renamed, ...] = ()
    n_neighbours_changed: int | None = None
    pairs: tuple[Pair, ...] = ()
    colours: tuple[ColourChange, ...] = ()
    unread: tuple[str, ...] = ()

    def of_kind(self, kind: str) -> tuple[Move, ...]:
        """Return the moves of one kind."""
        return tuple(move for move in self.moves if move.kind == kind)
