"""Step: the classes under one way of screening and weighing, for all linkages and numbers."""

from felloe.comparison.chart import read_chart_source
from felloe.ground.files.records import read_json
from felloe.ground.groups.partition import Partition
from felloe.sensitivity.tables import UNIVERSES
from felloe.sensitivity.universes import around, explore, lost_a_few, universe_rows
from felloe.sensitivity.weighting import weighted_distances
from felloe.tiers.tables import PLACES
from felloe.validation.analysed import read_analysed
from felloe.validation.received import read_received


def main(
    *,
    analysed: str,
    sorts: str,
    register: str,
    chart: str,
    places: str,
    summary: str,
    universe: dict[str, str],
    linkages: list[str],
    classes_around: int,
    smallest_cell: int,
    part: str,
    prior: float | None = None,
) -> None:
    """Write one row per linkage and number of classes."""
    unscreened = universe["screening"] == "none"
    source = read_chart_source(chart).source
    kept = read_analysed(analysed, prior).of(source)
    read = read_received(sorts, register, prior).sorts.of(source) if unscreened else kept
    apart = weighted_distances(read, universe["weighting"])
    classes = Partition.of_rows(PLACES.read(places), "class").on(read.terms)
    chosen = read_json(summary)["classes"]["number"]
    numbers = around(chosen, classes_around, len(read.terms))
    found = explore(apart, classes, linkages, numbers)
    few = lost_a_few(read.populations, kept.populations, smallest_cell)
    n = None if few else len(read.participants)
    UNIVERSES.write(part, universe_rows(found, universe, n))


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
