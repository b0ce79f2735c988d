"""Step: one part of the trees of redrawn participants, with and without structure."""

from typing import Any

from felloe.clustering.replicates.bootstrap import Plan, draw_part
from felloe.clustering.replicates.parts import write_part
from felloe.clustering.replicates.redraws import make_basis
from felloe.comparison.chart import read_chart_source
from felloe.ground.randomness import Streams
from felloe.validation.analysed import read_analysed


def main(
    *,
    sorts: str,
    chart: str,
    study: str,
    seed: int,
    method: str,
    part_name: str,
    plan: dict[str, Any],
    part: str,
    prior: float | None = None,
) -> None:
    """Write the merges of this part's replicates; their numbers say where they belong."""
    read, whose = read_analysed(sorts, prior), read_chart_source(chart)
    basis = make_basis(read.piles, read.populations, whose.source, whose.weights, read.prior)
    drawn = draw_part(read.terms, basis, method, Streams(seed, study), Plan(**plan), part_name)
    write_part(part, drawn)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
