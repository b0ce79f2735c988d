"""Step: the classes under one way of screening and weighing, for all linkages and numbers."""

import numpy as np
from felloe.comparison.chart import read_chart_source
from felloe.ground.partition import number_by_appearance
from felloe.ground.records import read_json
from felloe.ground.tables import read_table
from felloe.sensitivity.tables import universe_rows, write_universes
from felloe.sensitivity.universes import around, explore
from felloe.sensitivity.weighting import weighted_dissimilarity
from felloe.validation.tables import read_analysed, read_received


def main(
    *, analysed, sorts, register, chart, published, summary, universe, linkages, classes_around,
    part,
):  # fmt: skip
    """Write one row per linkage and number of classes."""
    read = read_analysed(analysed)
    if universe["screening"] == "none":
        read = read_received(sorts, register).sorts
    source = read_chart_source(chart).source
    read = read.of(source)
    apart = weighted_dissimilarity(read.piles, read.populations, universe["weighting"])
    home = {row["term"]: row["class"] for row in read_table(published)}
    classes = number_by_appearance(np.array([home[term] for term in read.terms]))
    chosen = read_json(summary)["classes"]["number"]
    numbers = around(chosen, classes_around, len(read.terms))
    found = explore(apart, classes, linkages, numbers)
    write_universes(part, universe_rows(found, read.terms, universe, len(read.participants)))


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
