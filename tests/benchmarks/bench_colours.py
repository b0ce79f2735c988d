"""How much faster colours are on arrays: than pair by pair, than with a library of scalars.

Prints ratios, asserts none. Run: python tests/benchmarks/bench_colours.py
"""

import subprocess
import sys
import time
from pathlib import Path
from unittest.mock import patch

import numpy as np
from coloraide import Color

sys.path.insert(0, str(Path(__file__).parents[2] / "scripts"))

from felloe.colours import palette, picks
from felloe.colours.difference import ciede2000, difference_matrix
from felloe.colours.palette import nearest_separated, separated_palette
from felloe.colours.picks import Pick, summarise_picks
from felloe.colours.spaces import lab_of_hex
from felloe.colours.vision import DEFICIENCIES, seen_labs

IMPORTS = {"nothing": "pass", "numpy": "import numpy", "coloraide": "import coloraide"}


def seconds(function, *arguments, times=3):
    """Return the best of several wall times."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        function(*arguments)
        taken.append(time.perf_counter() - start)
    return min(taken)


def pair_by_pair(lab):
    """Return the differences one pair at a time."""
    return [[float(ciede2000(one, other)) for other in lab] for one in lab]


def library_ciede2000(lab1, lab2):
    """Return what `ciede2000` does, every pair asked of the library."""
    shape = np.broadcast_shapes(np.shape(lab1), np.shape(lab2))
    pairs = [np.broadcast_to(lab, shape).reshape(-1, 3).tolist() for lab in (lab1, lab2)]
    of_pairs = [
        Color("lab-d65", one).delta_e(Color("lab-d65", other), method="2000")
        for one, other in zip(*pairs, strict=True)
    ]
    return np.round(of_pairs, 9).reshape(shape[:-1])


def library_matrix(lab):
    """Return what `difference_matrix` does, the colours made once, each pair asked once."""
    colours = [Color("lab-d65", one) for one in np.asarray(lab).tolist()]
    matrix = np.zeros((len(colours), len(colours)))
    for at, one in enumerate(colours):
        for to in range(at):
            matrix[at, to] = matrix[to, at] = one.delta_e(colours[to], method="2000")
    return np.round(matrix, 9)


def library_seen_labs(colours):
    """Return what `seen_labs` does, every colour asked of the library."""
    views = [[Color(colour).convert("lab-d65").coords() for colour in colours]]
    for name in DEFICIENCIES:
        seen = [Color(colour).filter(name, method="machado").clip() for colour in colours]
        views.append([colour.convert("lab-d65").coords() for colour in seen])
    return np.array(views)


def with_the_library(function, *arguments):
    """Call a function of palettes or picks, their differences and views asked of the library."""
    with (
        patch.object(palette, "ciede2000", library_ciede2000),
        patch.object(palette, "seen_labs", library_seen_labs),
        patch.object(picks, "difference_matrix", library_matrix),
    ):
        function(*arguments)


def print_imports():
    """Print what starting Python and importing costs."""
    for name, line in IMPORTS.items():
        command = [sys.executable, "-c", line]
        print(f"python, {name}: {seconds(subprocess.run, command, times=7):.3f} s")


def print_arrays():
    """Print arrays beside pairs, ours and the library's."""
    rng = np.random.default_rng(1)
    print("colours  array_s   ratio pair by pair / array   library / array")
    for count in (10, 30, 100):
        lab = rng.uniform([10, -60, -60], [90, 60, 60], size=(count, 3))
        array, loop = seconds(difference_matrix, lab), seconds(pair_by_pair, lab)
        library = seconds(library_matrix, lab)
        print(f"{count:7d} {array:8.4f} {loop / array:8.1f} {library / array:8.1f}")
    colours = [f"#{value:06x}" for value in rng.integers(0, 2**24, 1000)]
    for name, ours, theirs in (
        ("CIELAB", lab_of_hex, lambda them: [Color(one).convert("lab-d65") for one in them]),
        ("CIELAB for four kinds of vision", seen_labs, library_seen_labs),
    ):
        array, library = seconds(ours, colours), seconds(theirs, colours)
        print(f"{name} of 1,000: {array:.4f} s, library / array {library / array:.0f}")


def print_tasks():
    """Print what palettes and picks take, ours and with the library underneath."""
    values = np.random.default_rng(1).integers(0, 2**24, 1000)
    colours = [f"#{value:06x}" for value in values]
    picked = [Pick(colour, str(number)) for number, colour in enumerate(colours)]
    for name, function, arguments in (
        ("middle of 300 different picks", summarise_picks, (picked[:300], 3)),
        ("palette of 12 colours", separated_palette, (12,)),
        ("a pick told from 8 classes", nearest_separated,
         ("#aa3333", ["#ab3535", *colours[:7]], 10, 4, colours[:2])),
    ):  # fmt: skip
        palette.grid_views.cache_clear()
        ours = seconds(function, *arguments)
        palette.grid_views.cache_clear()
        theirs = seconds(with_the_library, function, *arguments, times=1)
        palette.grid_views.cache_clear()
        print(f"{name}: {ours:.3f} s, with the library {theirs:.2f} s, ratio {theirs / ours:.0f}")
    print(f"middle of 1,000 different picks: {seconds(summarise_picks, picked, 3):.3f} s")


if __name__ == "__main__":
    print_imports()
    print_arrays()
    print_tasks()
