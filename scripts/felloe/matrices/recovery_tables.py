"""The table of simulated partial studies that a study is held against; made by a benchmark."""

from pathlib import Path

from felloe.ground.files.tables import Column, Table
from felloe.matrices.recovery import Simulated

READS = ("matrices/recovery.csv",)
PATH = Path(__file__).with_name("recovery.csv")
RECOVERY = Table(
    "recovery.csv",
    "What simulated partial studies gave back of the groups that they were made from.",
    (
        Column("terms", "count", "terms of the lexicon"),
        Column("classes", "count", "classes that people know"),
        Column("subclasses", "count", "subclasses that people know"),
        Column("terms_each", "count", "terms shown to each person"),
        Column("astray", "share", "chance that a term goes into one of a person's piles at random"),
        Column("smaller_share", "share", "of the people, the smaller of two populations"),
        Column("prior", "number", "observers of every pair that stand at the mean"),
        Column("people", "count", "people in all"),
        Column("observers", "number", "people who see both terms of a pair, in the mean"),
        Column("fewest_observers", "count", "people who see both terms of a pair, at the least"),
        Column("effective", "number", "people at every pair that would leave distances as noisy"),
        Column("runs", "count", "studies simulated"),
        Column("class_rand", "number", "adjusted Rand index of the classes, mean of the runs"),
        Column("class_error", "number", "its Monte-Carlo error"),
        Column(
            "subclass_rand", "number", "adjusted Rand index of the subclasses, mean of the runs"
        ),
        Column("subclass_error", "number", "its Monte-Carlo error"),
    ),
)


def simulated_studies() -> tuple[Simulated, ...]:
    """Return the rows of the table."""
    return tuple(Simulated(**row) for row in RECOVERY.read(PATH))
