"""How much faster colour differences are on arrays than pair by pair; prints ratios, asserts none.

Run: python tests/benchmarks/bench_colours.py
"""

import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2] / "scripts"))

from felloe.colours.difference import ciede2000, difference_matrix
from felloe.colours.palette import separated_palette
from felloe.colours.picks import summarise_picks


def seconds(function, *arguments):
    """Return the best of three wall times."""
    times = []
    for _ in range(3):
        start = time.perf_counter()
        function(*arguments)
        times.append(time.perf_counter() - start)
    return min(times)


def pair_by_pair(lab):
    """Return the differences one pair at a time."""
    return [[float(ciede2000(one, other)) for other in lab] for one in lab]


def main():
    """Print the table."""
    rng = np.random.default_rng(1)
    print("colours  array_s   ratio pair by pair / array")
    for count in (10, 30, 100):
        lab = rng.uniform([10, -60, -60], [90, 60, 60], size=(count, 3))
        array, loop = seconds(difference_matrix, lab), seconds(pair_by_pair, lab)
        print(f"{count:7d} {array:8.4f} {loop / array:8.1f}")
    picks = [f"#{value:06x}" for value in rng.integers(0, 2**24, 1000)]
    print(f"medoid of 1,000 different picks: {seconds(summarise_picks, picks):.3f} s")
    print(f"palette of 12 colours: {seconds(separated_palette, 12):.3f} s")


if __name__ == "__main__":
    main()
