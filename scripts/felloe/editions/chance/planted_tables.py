"""The table of simulated pairs of editions that a comparison is told by; made by a benchmark."""

from pathlib import Path

from felloe.editions.chance.planted import Simulated
from felloe.ground.files.tables import Column, Table

READS = ("editions/chance/planted.csv",)
PATH = Path(__file__).with_name("planted.csv")
PLANTED = Table(
    "planted.csv",
    "What the grades of moves said of simulated pairs of editions whose history is known.",
    (
        Column("make", "text", "how people were invented"),
        Column("people", "count", "people of each edition"),
        Column("terms", "count", "terms of either edition"),
        Column("classes", "count", "classes of either chart"),
        Column("planted", "count", "terms that the newer edition places elsewhere"),
        Column("runs", "count", "pairs of editions simulated"),
        Column("reliability", "number", "of the older edition, from random halves; mean"),
        Column("moved_robust", "share", "of the planted moves, those called robust"),
        Column("moved_possible", "share", "of the planted moves, those called possible"),
        Column("still_robust", "share", "of all other terms, those called robust moves"),
        Column("still_possible", "share", "of all other terms, those called possible moves"),
        Column("false_robust", "share", "of the pairs, those with a robust move not planted"),
    ),
)


def simulated_editions() -> tuple[Simulated, ...]:
    """Return the rows of the table."""
    return tuple(Simulated(**row) for row in PLANTED.read(PATH))
