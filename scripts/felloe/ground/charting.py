"""Trees cut alike, so that charts of different people can be compared."""

from felloe.ground.distances import rounded_dissimilarity
from felloe.ground.linkage import build_tree, cut
from felloe.ground.ranges import clipped, most_groups


def charted(similar, method, numbers):
    """
    Build the tree of a similarity matrix and cut it.

    Parameters
    ----------
    similar : (n_terms, n_terms) array of float
    method : str
        Linkage.
    numbers : sequence of int
        Numbers of groups.

    Returns
    -------
    tree : (n_terms - 1, 4) array of float
    labels : list of (n_terms,) array of int
        One per number.
    """
    tree = build_tree(rounded_dissimilarity(similar), method)
    return tree, [cut(tree, number) for number in numbers]


def common_number(setting, bounds, least, most, n_terms):
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


def common_numbers(classes, classes_range, subclasses, subclasses_range, n_terms):
    """
    Return the numbers of classes and subclasses at which all charts are cut alike.

    Parameters
    ----------
    classes, subclasses : int or "auto"
    classes_range, subclasses_range : (int, int)
    n_terms : int

    Returns
    -------
    (int, int)
        The second is never the smaller.
    """
    most_classes, most_subclasses = most_groups(n_terms)
    coarse = common_number(classes, classes_range, 2, most_classes, n_terms)
    fine = common_number(subclasses, subclasses_range, coarse + 1, most_subclasses, n_terms)
    return coarse, max(coarse, fine)
