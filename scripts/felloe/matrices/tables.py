"""The tables of matrices, each declared once."""

from collections.abc import Sequence
from pathlib import Path

from felloe.ground.files.tables import Column, Table, read_square, write_square
from felloe.ground.people.counts import Counts
from felloe.ground.terms import check_same

TOGETHER = Table(
    "matrices/*.together.csv",
    "How many participants of a population put two terms together.",
    (Column("term", "id", "term"),),
    others=Column(
        "*",
        "count",
        "one column per term: participants who put the two together",
        unit="participants",
    ),
)

BOTH = Table(
    "matrices/*.both.csv",
    "How many participants of a population placed both of two terms.",
    (Column("term", "id", "term"),),
    others=Column(
        "*", "count", "one column per term: participants who placed both", unit="participants"
    ),
)

UNSEEN = Table(
    "matrices/unseen.csv",
    "Pairs of terms that nobody of a population placed both of, where everybody was shown some "
    "terms; they take the mean.",
    (
        Column("population", "id", "population, or pooled"),
        Column("term", "id", "term"),
        Column("other", "id", "the other term"),
    ),
)

TABLES = (
    TOGETHER,
    BOTH,
    UNSEEN,
)


def write_counts(counts: Counts, together: str | Path, both: str | Path) -> None:
    """Write the two matrices of one population."""
    write_square(together, counts.terms, counts.together)
    write_square(both, counts.terms, counts.both)


def read_all_counts(
    names: Sequence[str],
    together: Sequence[str],
    both: Sequence[str],
    prior: float | None = None,
) -> dict[str, Counts]:
    """Read the matrices of several populations; one file of each kind for every name."""
    return {
        name: read_counts(joined, placed, prior)
        for name, joined, placed in zip(names, together, both, strict=True)
    }


def read_counts(together: str | Path, both: str | Path, prior: float | None = None) -> Counts:
    """
    Read the two matrices of one population.

    Parameters
    ----------
    together, both : str or Path
    prior : float, optional
        Of partial sorts; see `felloe.ground.people.counts.drawn_to_mean`.

    Raises
    ------
    DifferentTerms
        If the two are not about the same terms.
    ValueError
        If they are no counts.
    """
    terms, joined = read_square(together)
    others, placed = read_square(both)
    check_same(terms, others, Path(together).name, Path(both).name)
    return Counts(terms, joined, placed, prior)
