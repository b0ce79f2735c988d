"""Step: the classes under one way of screening and weighing, for all linkages and numbers."""

from felloe.comparison.chart import read_chart_source
from felloe.ground.files.records import read_json
from felloe.ground.partition import Partition
from felloe.sensitivity.tables import UNIVERSES
from felloe.sensitivity.universes import around, explore, universe_rows
from felloe.sensitivity.weighting import weighted_distances
from felloe.tiers.tables import PLACES
from felloe.validation.received import read_received
from felloe.validation.tables import read_analysed


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
    part: str,
) -> None:
    """Write one row per linkage and number of classes."""
    unscreened = universe["screening"] == "none"
    everybody = read_received(sorts, register).sorts if unscreened else read_analysed(analysed)
    read = everybody.of(read_chart_source(chart).source)
    apart = weighted_distances(read, universe["weighting"])
    classes = Partition.of_rows(PLACES.read(places), "class").on(read.terms)
    chosen = read_json(summary)["classes"]["number"]
    numbers = around(chosen, classes_around, len(read.terms))
    found = explore(apart, classes, linkages, numbers)
    UNIVERSES.write(part, universe_rows(found, universe, len(read.participants)))


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
