"""What follows from the table of colours, in a sentence."""

from collections.abc import Iterable

from felloe.ground.files.tables import Row


def classes(rows: Iterable[Row], wanted: float) -> str:
    """
    Say whether the classes' colours can be told apart.

    Parameters
    ----------
    rows : iterable of dict
        Of `circle/colours.csv`, classes alone.
    wanted : float
        Delta E between any two classes.
    """
    least = [row["min_delta_e_pair"] for row in rows if row["min_delta_e_pair"] is not None]
    known = [value for value in least if value == value]
    if not known:
        return "With one class there is nothing to tell apart."
    if min(known) >= wanted:
        return (
            "Any two classes can be told apart by colour; nothing is to be decided about colours."
        )
    return (
        f"The two most similar classes differ by Delta E {min(known):.0f}, less than the "
        f"{wanted:g} wanted: tell them by their names, or name other colours."
    )
