"""The table of a plan, declared once."""

from collections.abc import Iterable

from felloe.foresight.plan import Cell, Spread
from felloe.ground.files.tables import Column, Row, Table

RELIABILITY, RAND = "stepped-up split-half reliability", "adjusted Rand index with the truth"
OF = {
    "reliability": (RELIABILITY, "of everybody"),
    "smaller_reliability": (RELIABILITY, "of the smaller population alone"),
    "classes": (RAND, "of the tree cut into classes"),
    "subclasses": (RAND, "of the tree cut into subclasses"),
}
PLAN = Table(
    "plan.csv",
    "What simulated studies show, by people and terms a person.",
    (
        Column("terms_each", "count", "terms shown to each person"),
        Column("people", "count", "people in all"),
        Column("smaller", "count", "of these, people of the smaller population"),
        Column("observers", "number", "people who see both terms of a pair, in the mean"),
        Column("fewest_observers", "count", "people who see both terms of a pair, at the least"),
        *(
            column
            for name, (what, whose) in OF.items()
            for column in (
                Column(name, "number", f"{what}, {whose}: mean of the simulated studies"),
                Column(f"{name}_error", "number", "Monte-Carlo error of the mean"),
                Column(f"{name}_low", "number", "below it lies one study in twenty"),
                Column(f"{name}_high", "number", "above it lies one study in twenty"),
            )
        ),
        Column(
            "pooling",
            "yes/no",
            "whether the smaller population's reliability reaches comparison.margins.reliability, "
            "in the mean of the simulated studies: below it populations are never pooled",
        ),
        Column(
            "moved_terms",
            "count",
            "smallest number tried of terms in another class in the smaller population that 80 % "
            "of studies find, by the test of people who sort equally coarsely; empty where the "
            "largest is not enough",
        ),
        Column("moved_share", "share", "the same as a share of the terms"),
        Column("moved_seen", "share", "of the simulated studies, those that see it (or the most)"),
        Column("moved_most", "count", "largest number of moved terms tried"),
        Column("studies", "count", "simulated studies"),
    ),
)


def plan_rows(cells: Iterable[Cell], n_terms: int, margin: float) -> list[Row]:
    """Return the rows of the table; `margin` of reliability is what pooling takes."""
    return [row_of(cell, n_terms, margin) for cell in cells]


def row_of(cell: Cell, n_terms: int, margin: float) -> Row:
    """Return one row."""
    spreads: dict[str, Spread] = {name: getattr(cell, name) for name in OF}
    moved = cell.movement
    return {
        "terms_each": cell.each,
        "people": cell.people,
        "smaller": cell.smaller,
        "observers": cell.observers,
        "fewest_observers": cell.fewest_observers,
        **{
            f"{name}{end}": value
            for name, spread in spreads.items()
            for end, value in (
                ("", spread.mean),
                ("_error", spread.error),
                ("_low", spread.low),
                ("_high", spread.high),
            )
        },
        "pooling": cell.smaller_reliability.mean >= margin,
        "moved_terms": moved.terms,
        "moved_share": None if moved.terms is None else moved.terms / n_terms,
        "moved_seen": moved.seen,
        "moved_most": moved.most,
        "studies": cell.studies,
    }
