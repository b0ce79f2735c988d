"""How many classes and subclasses a number of terms can carry, wherever that is asked."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

Asked = int | Literal["auto"]
FEWEST_CLASSES = 2  # one class divides nothing
ALL_BESIDE = 3  # classes up to which each is beside every other on a circle, in whatever order


@dataclass(frozen=True)
class GroupNumbers:
    """
    What the settings say about the numbers of classes and subclasses.

    Attributes
    ----------
    classes, subclasses : int or "auto"
        A number of groups, or that it is found within the range.
    classes_range, subclasses_range : (int, int)
        Least and largest number of groups.
    """

    classes: Asked
    classes_range: Sequence[int]
    subclasses: Asked
    subclasses_range: Sequence[int]

    def common(self, n_terms: int) -> tuple[int, int]:
        """
        Return the numbers of classes and subclasses at which all charts are cut alike.

        Parameters
        ----------
        n_terms : int

        Returns
        -------
        (int, int)
            The second is never the smaller.
        """
        most_classes, most_subclasses = most_groups(n_terms)
        coarse = common_number(
            self.classes, self.classes_range, FEWEST_CLASSES, most_classes, n_terms
        )
        fine = common_number(
            self.subclasses, self.subclasses_range, coarse + 1, most_subclasses, n_terms
        )
        return coarse, max(coarse, fine)


def common_number(
    setting: Asked, bounds: Sequence[int], least: int, most: int, n_terms: int
) -> int:
    """
    Return the number of groups at which all charts are cut alike.

    Parameters
    ----------
    setting : int or "auto"
    bounds : (int, int)
        Used where the setting is "auto": the middle of what the terms can carry of this range,
        rounded down.
    least, most : int
        What the terms can carry.
    n_terms : int

    Returns
    -------
    int
        At least 2 and at most n_terms - 1 (2 for two terms).
    """
    wanted = sum(clipped(bounds, least, most)) // 2 if setting == "auto" else int(setting)
    return max(2, min(wanted, n_terms - 1))


def most_groups(n_terms: int) -> tuple[int, int]:
    """
    Return the largest numbers of classes and of subclasses that make sense.

    Parameters
    ----------
    n_terms : int

    Returns
    -------
    (int, int)
        Half and three quarters of the terms: beyond it groups are single terms.
    """
    return n_terms // 2, 3 * n_terms // 4


def clipped(asked: Sequence[int], least: int, most: int) -> tuple[int, int]:
    """
    Fit a range to what is possible.

    Parameters
    ----------
    asked : (int, int)
    least, most : int
        `most` is raised to `least` where it is smaller.

    Returns
    -------
    (int, int)
    """
    most = max(least, most)
    low, high = (min(max(number, least), most) for number in asked)
    return low, high
