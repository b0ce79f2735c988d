"""With which power a cost grows: a line through logarithms, beside what is claimed."""

import numpy as np

TERMS, PEOPLE = "terms", "people"
CLAIMED = {TERMS: 2.0, PEOPLE: 1.0}
SLACK = 0.25  # in the power: the logarithm, .16 from 400 to 1,000, and how exactly times tell it
FEWEST = 3


def slope(sizes, seconds):
    """
    Return the power with which seconds grow, fitted to the largest `FEWEST` sizes.

    What is constant hides what grows at the small ones. nan for fewer than two.

    Parameters
    ----------
    sizes, seconds : sequence of float
        Ascending sizes.
    """
    sizes, seconds = np.asarray(sizes, dtype=float), np.asarray(seconds, dtype=float)
    if len(sizes) < 2:
        return float("nan")
    return float(np.polyfit(np.log(sizes[-FEWEST:]), np.log(seconds[-FEWEST:]), 1)[0])


def verdict(cells, axis):
    """Return the slope of a stage along an axis in words, beside what is claimed."""
    ended = [cell for cell in cells if not cell.stopped]
    power = slope([getattr(cell, axis) for cell in ended], [cell.seconds for cell in ended])
    words = "not known" if np.isnan(power) else f"{power:.2f}"
    if power > CLAIMED[axis] + SLACK:
        words += ", steeper than claimed"
    if ended:
        last = ended[-1]
        words += f"; {last.seconds:.2g} s, {last.megabytes:,.0f} MB at {getattr(last, axis):,}"
    stopped = next((cell for cell in cells if cell.stopped), None)
    return f"{words}; {stopped.stopped} at {getattr(stopped, axis):,}" if stopped else words
