"""The tables of matrices, each declared once."""

from felloe.ground.tables import Column, Table

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

TABLES = (
    TOGETHER,
    BOTH,
)
