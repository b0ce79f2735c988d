"""What the analyses with other choices say, for their part of the report."""

from collections.abc import Sequence

from felloe.ground.files.tables import Row


def unsettled_terms(rows: Sequence[Row]) -> list[Row]:
    """Return the rows of the terms that not all analyses leave in their class, the worst first."""
    ordered = sorted(rows, key=lambda row: (row["share_of_universes"], row["term"]))
    return [row for row in ordered if row["share_of_universes"] < 1.0]
