"""Which counts of people are too small to be told, and how they are joined."""

from collections.abc import Sequence


def is_small(n: int, least: int) -> bool:
    """Return whether a count tells of somebody, and of fewer than `least` people."""
    return 0 < n < least


def told_count(n: int, least: int) -> int | None:
    """Return a count of people, None if it is small."""
    return None if is_small(n, least) else n


def told_quantile(share: float, n: int, least: int) -> bool:
    """
    Return whether a quantile of `n` people's values may be told.

    At least `least` people have to lie on either side of it, so that neither the smallest nor the
    largest value ever is, nor one near them.
    """
    return int(min(share, 1 - share) * n + 1e-9) >= least


def joined_cells(cells: Sequence[int], least: int) -> list[int]:
    """
    Say which cells of one total are told as one.

    Parameters
    ----------
    cells : sequence of int
        Counts of people, none 0. Their total is known.
    least : int

    Returns
    -------
    list of int
        Places of the joined cells, ascending; none if no cell is small. Together they hold at
        least `least` people if all cells do: where the small ones are fewer, the smallest of the
        others joins them, since else what is left of the total would give them away. A single
        small cell is never joined alone.
    """
    order = sorted(range(len(cells)), key=lambda place: (cells[place], place))
    joined = [place for place in order if is_small(cells[place], least)]
    if not joined:
        return []
    rest = [place for place in order if place not in joined]
    while rest and (len(joined) < 2 or sum(cells[place] for place in joined) < least):
        joined.append(rest.pop(0))
    return sorted(joined)
