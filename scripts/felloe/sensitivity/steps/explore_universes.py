"""Step: the classes under every way of screening and weighing, for all linkages and numbers."""

from felloe.comparison.chart import read_chart_source
from felloe.ground.files.records import read_json
from felloe.ground.groups.partition import Partition
from felloe.sensitivity.tables import UNIVERSES, write_terms
from felloe.sensitivity.universes import (
    around,
    explore,
    lost_a_few,
    numbered,
    shares,
    universe_rows,
)
from felloe.sensitivity.weighting import chart_weighting, weighted_distances
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
    choices: list[dict[str, str]],
    linkages: list[str],
    linkage: str,
    classes_around: int,
    smallest_cell: int,
    universes: str,
    terms: str,
    prior: float | None = None,
) -> None:
    """Write a row for each universe, and the share of them for every term."""
    charted, number = read_chart_source(chart), read_json(summary)["classes"]["number"]
    kept = read_analysed(analysed, prior).of(charted.source)
    unscreened = any(choice["screening"] == "none" for choice in choices)
    if unscreened:
        received = read_received(sorts, register, prior).sorts.of(charted.source)
    classes = Partition.of_rows(PLACES.read(places), "class")
    rows = []
    for choice in choices:
        read = received if choice["screening"] == "none" else kept
        apart = weighted_distances(read, choice["weighting"])
        numbers = around(number, classes_around, len(read.terms))
        found = explore(apart, classes.on(read.terms), linkages, numbers)
        few = lost_a_few(read.populations, kept.populations, smallest_cell)
        rows += universe_rows(found, choice, None if few else len(read.participants))
    weighting = chart_weighting(charted.weights)
    own = {"screening": "as_configured", "weighting": weighting, "linkage": linkage}
    rows = numbered(rows, {**own, "n_classes": number})
    share = shares([row["terms_changing"] for row in rows], classes.terms)
    UNIVERSES.write(universes, rows)
    write_terms(terms, classes, share, len(rows))
