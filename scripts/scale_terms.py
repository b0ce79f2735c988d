"""Step: the map of terms, and what it is worth."""

from felloe.circle.map_evidence import (
    best_map,
    dimension_curve,
    is_degenerate,
    null_stress,
    redrawn_ellipses,
    restart_agreement,
    saturated_share,
)
from felloe.circle.map_tables import map_record, write_dimensions, write_map, write_shepard
from felloe.circle.scaling import upper
from felloe.clustering.redraws import make_basis
from felloe.comparison.chart import read_chart_source
from felloe.ground.randomness import Streams
from felloe.ground.records import write_json
from felloe.ground.tables import read_square
from felloe.validation.tables import read_analysed


def main(*, distances, sorts, chart, study, seed, settings, map, record, shepard, dimensions):
    """Scale, judge, write; a degenerate ordinal map is given up for the metric one."""
    terms, D = read_square(distances)
    read, chart = read_analysed(sorts), read_chart_source(chart)
    basis = make_basis(read.piles, read.populations, chart.source, chart.weights)
    streams, kind, ties = Streams(seed, study), settings["type"], settings["ties"]
    size = settings["starts"], settings["rounds"]
    found = best_map(D, kind, ties, *size, streams.generator("map"))
    given_up = None
    if kind == "ordinal" and is_degenerate(found.points, found.stress):
        kind, given_up = "metric", found.stress
        found = best_map(D, kind, ties, *size, streams.generator("map"))
    fewer = settings["null_starts"], settings["null_rounds"]
    null = null_stress(basis, kind, ties, *fewer, streams, settings["null_replicates"])
    rng, most = streams.generator("map-dimensions"), settings["most_dimensions"]
    curve = dimension_curve(D, kind, ties, *fewer, rng, most)
    redraws = settings["bootstrap_rounds"], streams, settings["bootstrap"]
    ellipses = redrawn_ellipses(
        basis, found.points, kind, ties, *redraws, settings["ellipse_level"]
    )
    write_map(map, terms, found, ellipses)
    write_shepard(shepard, terms, upper(D), found)
    write_dimensions(dimensions, curve)
    judged = restart_agreement(found), null, saturated_share(D)
    write_json(record, map_record(settings, kind, found, given_up, *judged))


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
