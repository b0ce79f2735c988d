"""What a preview takes of a setting."""

from typing import Any


def lowered(own: Any, most: Any) -> Any:
    """
    Return a setting as a preview has it.

    Parameters
    ----------
    own : object
        A number, or a list of choices.
    most : object
        What the settings' block `quick` has for it: the most that is taken, or which choices stay.

    Returns
    -------
    object
        The smaller number; the choices that stay, or the first where none does.
    """
    if isinstance(most, list):
        return [each for each in own if each in most] or own[:1]
    return min(own, most)
