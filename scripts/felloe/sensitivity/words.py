"""What the other choices are called, and what was found, for the figure and the report."""

from collections.abc import Sequence

from felloe.ground.tables import Row

CHOICES = {"n_classes": "classes"}
SHARES = "Universes that give the published class"
LEVELS = "within each choice (black: never, light: always)"


def choice(name: str) -> str:
    """Return what a choice is called."""
    return CHOICES.get(name, name)


def level(name: str) -> str:
    """Return what a level of a choice is called."""
    return name.replace("_", " ")


def title(universes: int, study: str) -> str:
    """Return the title of the figure."""
    return f"The same chart under {universes} reasonable choices\n{study}"


def unsettled_terms(rows: Sequence[Row]) -> list[Row]:
    """Return the rows of the terms that not all analyses leave in their class, the worst first."""
    ordered = sorted(rows, key=lambda row: (row["share_of_universes"], row["term"]))
    return [row for row in ordered if row["share_of_universes"] < 1.0]
