"""The colours of classes in figures beside the ring, where some may have none."""

from collections.abc import Sequence

from felloe.ground.drawing import CLASS_CYCLE
from felloe.ground.files.tables import Row


def class_colours(classes: Sequence[str], colours: Sequence[Row]) -> list[str]:
    """
    Return a colour for every class: the one on the chart, else one of the cycle.

    Parameters
    ----------
    classes : sequence of str
        Ids.
    colours : sequence of dict
        Rows of `circle/colours.csv`.

    Returns
    -------
    list of str
    """
    used = {row["term"]: row["used"] for row in colours if row["tier"] == "class"}
    spare = [shade for shade in CLASS_CYCLE if shade not in used.values()] or list(CLASS_CYCLE)
    return [used.get(one) or spare[place % len(spare)] for place, one in enumerate(classes)]
