"""What this machine does in a second on one core: the rates that floors are told in."""

from collections.abc import Callable
from time import process_time

import numpy as np

LEAST = 0.05  # seconds of processor behind each rate, so that a clock's step does not count
RUNS = 5  # the fastest of them is the rate: a floor is what can be reached
CACHED = 4096  # doubles that stay in the cache
MEGABYTES_64 = 2**23  # doubles that do not


def fastest(work: Callable[[], object], done: float) -> float:
    """Return how much of what one call does is done in a second, at the best."""
    work()
    best = 0.0
    for _ in range(RUNS):
        calls, started = 0, process_time()
        while (spent := process_time() - started) < LEAST:
            work()
            calls += 1
        best = max(best, calls * done / spent)
    return best


def streamed() -> float:
    """Bytes read and written, far from the cache."""
    one, other = np.ones(MEGABYTES_64), np.empty(MEGABYTES_64)
    return fastest(lambda: np.copyto(other, one), 2.0 * one.nbytes)


def products(kind: str) -> float:
    """Multiplications with their additions in the product of two square matrices."""
    one = np.random.default_rng(1).random((512, 512)).astype(kind)
    out = np.empty_like(one)
    return fastest(lambda: np.matmul(one, one, out=out), 512.0**3)


def passes() -> float:
    """Numbers that one operation goes through in the cache."""
    one, other = np.random.default_rng(1).random((2, CACHED))
    out = np.empty(CACHED)
    return fastest(lambda: np.minimum(one, other, out=out), CACHED)


def gathered() -> float:
    """Numbers looked up at random places in the cache."""
    rng = np.random.default_rng(1)
    table, places, out = rng.random(CACHED), rng.permutation(CACHED), np.empty(CACHED)
    return fastest(lambda: table.take(places, out=out, mode="clip"), CACHED)


def scattered() -> float:
    """Ones added at random places in the cache."""
    places = np.random.default_rng(1).integers(CACHED, size=2**16)
    return fastest(lambda: np.bincount(places, minlength=CACHED), len(places))


def sorting() -> float:
    """Comparisons of a sort: n log2 n for n numbers."""
    values = np.random.default_rng(1).random(CACHED)
    return fastest(lambda: np.argsort(values), CACHED * np.log2(CACHED))


def drawn() -> float:
    """Whole numbers drawn at random."""
    rng = np.random.default_rng(1)
    return fastest(lambda: rng.integers(100, size=CACHED), CACHED)


RATES: dict[str, Callable[[], float]] = {
    "bytes": streamed,
    "products in single precision": lambda: products("f4"),
    "products in double precision": lambda: products("f8"),
    "passes": passes,
    "gathers": gathered,
    "scatters": scattered,
    "comparisons": sorting,
    "draws": drawn,
}


def measured_rates() -> dict[str, float]:
    """Return what is done in a second, by kind."""
    return {name: rate() for name, rate in RATES.items()}
