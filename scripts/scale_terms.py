"""Step: the map of terms, and what it is worth."""

from felloe.files.maps import (
    TIE_WORDS,
    restart_record,
    warnings_of,
    write_dimensions,
    write_map,
    write_shepard,
)
from felloe.files.sorts import read_analysed
from felloe.files.tables import read_json, read_square, write_json
from felloe.numerics.bootstrap import make_basis
from felloe.numerics.map_evidence import (
    best_map,
    dimension_curve,
    is_degenerate,
    null_stress,
    redrawn_ellipses,
    restart_agreement,
    saturated_share,
)
from felloe.numerics.randomness import Streams
from felloe.numerics.scaling import upper


def main(*, distances, sorts, pooling, study, seed, settings, map, record, shepard, dimensions):
    """Scale, judge, write."""
    terms, D = read_square(distances)
    read, chart = read_analysed(sorts), read_json(pooling)["chart"]
    basis = make_basis(read.piles, read.populations, chart["source"], chart["weights"])
    streams, ties = Streams(seed, study), settings["ties"]
    size = settings["starts"], settings["rounds"]
    asked = kind = settings["type"]
    found = best_map(D, kind, ties, *size, streams.generator("map"))
    degenerate, given_up = is_degenerate(found.points, found.stress), found.stress
    if degenerate:
        kind = "metric"
        found = best_map(D, kind, ties, *size, streams.generator("map"))
    fewer = settings["null_starts"], settings["null_rounds"]
    null = null_stress(basis, kind, ties, *fewer, streams, settings["null_replicates"])
    curve = dimension_curve(
        D, kind, ties, *fewer, streams.generator("map-dimensions"), settings["most_dimensions"]
    )
    redraws = settings["bootstrap_rounds"], streams, settings["bootstrap"]
    ellipses = redrawn_ellipses(
        basis, found.points, kind, ties, *redraws, settings["ellipse_level"]
    )
    write_map(map, terms, found, ellipses)
    write_shepard(shepard, terms, upper(D), found)
    write_dimensions(dimensions, curve)
    restarts = restart_record(restart_agreement(found), settings["angle_agreement"])
    reached = int((null <= found.stress).sum())
    saturated = saturated_share(D)
    write_json(
        record,
        {
            "type_asked": asked,
            "type": kind,
            "ties": ties if kind == "ordinal" else None,
            "ties_mean": TIE_WORDS[ties] if kind == "ordinal" else None,
            "method": "majorisation (SMACOF) with equal weights",
            "dimensions": 2,
            "n_terms": len(terms),
            "starts": settings["starts"],
            "rounds_at_most": settings["rounds"],
            "stress_1": found.stress,
            "stress_1_of_starts": {
                "least": float(found.all_stress.min()),
                "largest": float(found.all_stress.max()),
            },
            "null": {
                "replicates": len(null),
                "mean": float(null.mean()),
                "least": float(null.min()),
                "p": (reached + 1) / (len(null) + 1),
                "means": "stress-1 of maps of the same sorts, terms permuted within participants",
            },
            "degenerate": degenerate,
            "stress_1_of_degenerate_map": given_up if degenerate else None,
            "restart_agreement": restarts,
            "saturated_share": saturated,
            "ellipses": {
                "level": settings["ellipse_level"],
                "replicates": settings["bootstrap"],
                "means": "where maps of redrawn participants put the term, each map laid over "
                "this one",
            },
            "warnings": warnings_of(
                asked, kind, degenerate, restarts, reached / len(null), saturated
            ),
        },
    )


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
