"""How many classes and subclasses a number of terms can carry, wherever that is asked."""


def most_groups(n_terms):
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


def clipped(asked, least, most):
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
