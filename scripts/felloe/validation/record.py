"""The record `validation/stability.json`: what the study would gain from more people."""

from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path

from felloe.ground.files.records import write_json
from felloe.validation.stability.planning import Plan
from felloe.validation.stability.reliability import Cuts


def write_plans(path: str | Path, plans: Sequence[Plan], halves: int, cuts: Cuts) -> None:
    """
    Write the plans of every population and of all together.

    Parameters
    ----------
    path : str or Path
    plans : sequence of Plan
        The last is that of everybody.
    halves : int
        Random halves behind each reliability.
    cuts : Cuts
        How the trees of samples were cut.
    """
    plans_told = [asdict(each) for each in plans]
    write_json(path, {"cuts": asdict(cuts), "halves": halves, "plans": plans_told})
