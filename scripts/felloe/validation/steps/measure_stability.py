"""Step: split halves, the learning curve, and what more participants would gain."""

from typing import Any

from felloe.ground.groups.ranges import GroupNumbers
from felloe.ground.randomness import Streams
from felloe.validation.analysed import read_analysed
from felloe.validation.record import write_plans
from felloe.validation.settings import StabilitySettings
from felloe.validation.stability.planning import plan
from felloe.validation.stability.reliability import Cuts, repeated_on_parts
from felloe.validation.tables import STABILITY


def main(
    *,
    sorts: str,
    study: str,
    seed: int,
    settings: dict[str, Any],
    tiers: dict[str, Any],
    linkage: str,
    table: str,
    record: str,
    prior: float | None = None,
) -> None:
    """Read the analysed sorts, repeat the study on parts of them, write spreads and plans."""
    analysed, chosen = read_analysed(sorts, prior), StabilitySettings(**settings)
    numbers = GroupNumbers(**tiers).common(len(analysed.terms))
    cuts = Cuts(linkage, *numbers)
    found = repeated_on_parts(analysed, cuts, chosen, Streams(seed, study))
    plans = [plan(name, whole, chosen.target) for name, (_, whole) in found.halves.items()]
    STABILITY.write(table, found.rows)
    write_plans(record, plans, chosen.halves, cuts)
