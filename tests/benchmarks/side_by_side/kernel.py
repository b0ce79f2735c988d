"""One computation in several hands: ours, what a scripter would write, and what it must cost."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from statistics import median
from time import process_time
from typing import Any

OURS, R = "this library", "R"
REPEATS, LONG = 3, 3.0  # seconds from which on nothing is repeated
Work = Mapping[str, float]  # how much of what is counted in `machine.RATES`


class Disagreement(Exception):
    """Two hands give different results, so that their times say nothing."""


@dataclass(frozen=True)
class Side:
    """
    One way of doing it.

    Attributes
    ----------
    work : callable
        Does so many units and returns what is compared.
    units : int
        Units that are timed.
    clock : callable
        Seconds of the processor that its work has taken so far.
    tolerance : float, optional
        Its own, where it cannot do the same in every tie.
    """

    work: Callable[[int], Any]
    units: int
    clock: Callable[[], float] = process_time
    tolerance: float | None = None


@dataclass(frozen=True)
class Kernel:
    """
    A computation, its hands and its floor.

    Attributes
    ----------
    name, size, unit : str
        What, of how much, and what is counted as one.
    sides : dict of str to Side
        `OURS` and at least one other.
    apart : callable
        Of two results: their largest difference.
    tolerance : float
        Largest difference at which they count as the same.
    checked : int
        Units that are done by all sides and compared.
    floor : sequence of Work
        What one unit has to cost at least, in each of several ways; the cheapest one counts.
    counted : str
        The floor in words.
    """

    name: str
    size: str
    unit: str
    sides: Mapping[str, Side]
    apart: Callable[[Any, Any], float]
    tolerance: float
    checked: int
    floor: Sequence[Work]
    counted: str

    def allowed(self, side: Side) -> float:
        """Return the largest difference of a side to ours that counts as none."""
        return self.tolerance if side.tolerance is None else side.tolerance


@dataclass(frozen=True)
class Measured:
    """
    What a kernel takes.

    Attributes
    ----------
    kernel : Kernel
    seconds : dict of str to float
        A unit, processor time, by side: median of repeats.
    differences : dict of str to float
        Largest difference of each other side to ours.
    floor : float
        Seconds a unit at the rates of this machine.
    """

    kernel: Kernel
    seconds: Mapping[str, float]
    differences: Mapping[str, float]
    floor: float

    def ratio(self, side: str) -> float:
        """Return how many times as long as ours another side takes."""
        return self.seconds[side] / self.seconds[OURS]

    @property
    def above_floor(self) -> float:
        """Ours in floors."""
        return self.seconds[OURS] / self.floor


def checked(kernel: Kernel) -> dict[str, float]:
    """
    Compare every other side with ours on a few units.

    Returns
    -------
    dict of str to float
        Largest difference by side.

    Raises
    ------
    Disagreement
        Naming the kernel, the side and the difference.
    """
    ours = kernel.sides[OURS].work(kernel.checked)
    differences = {}
    for name, side in kernel.sides.items():
        if name == OURS:
            continue
        found = float(kernel.apart(ours, side.work(kernel.checked)))
        allowed = kernel.allowed(side)
        if not found <= allowed:  # nan too
            raise Disagreement(
                f"{kernel.name}, {kernel.size}: {name} differs from {OURS} by {found:.3g}, "
                f"{allowed:.3g} is allowed"
            )
        differences[name] = found
    return differences


def seconds(side: Side, repeats: int) -> float:
    """Return the seconds of processor that a unit takes: the median of repeats, of one if long."""
    times = []
    while len(times) < repeats and sum(times) < LONG:
        started = side.clock()
        side.work(side.units)
        times.append(side.clock() - started)
    return median(times) / side.units


def floor_seconds(floor: Sequence[Work], rates: Mapping[str, float]) -> float:
    """Return the seconds of the cheapest of several ways, its parts one after the other."""
    return min(sum(amount / rates[what] for what, amount in way.items()) for way in floor)


def measured(kernel: Kernel, rates: Mapping[str, float], repeats: int = REPEATS) -> Measured:
    """Check a kernel, then time its sides."""
    differences = checked(kernel)
    times = {name: seconds(side, repeats) for name, side in kernel.sides.items()}
    return Measured(kernel, times, differences, floor_seconds(kernel.floor, rates))
