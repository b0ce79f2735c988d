"""Step: the shortest circular order, its evidence, gaps, angles and pose."""

import numpy as np
from felloe.circle.agreement import circular_agreement
from felloe.circle.layout import lay_out
from felloe.circle.order import adjacency, order_evidence, ordering_tree
from felloe.circle.record import (
    ANGLES,
    FREE_TOUR,
    FREEDOM,
    TIE_RULE,
    adjacency_record,
    agreement_record,
    gap_record,
    length_record,
    pose_record,
)
from felloe.circle.tables import (
    adjacency_rows,
    neighbours_around,
    read_angles,
    read_map,
    read_outer_ring,
    read_renamed,
    write_adjacency,
    write_order,
)
from felloe.clustering.redraws import make_basis
from felloe.clustering.tables import read_linkage
from felloe.comparison.chart import read_chart_source
from felloe.ground.randomness import Streams
from felloe.ground.records import read_json, write_json
from felloe.ground.tables import read_square, read_table
from felloe.validation.tables import read_analysed


def main(
    *, published, data_only, tree, linkage, distances, terms, sorts, chart, map, map_record,
    older, older_study, study, seed, method, settings, order, order_data_only, record, classes,
):  # fmt: skip
    """Order both charts, lay them out in one pose, write the evidence."""
    D, streams = read_square(distances)[1], Streams(seed, study)
    previous = read_angles(older, read_renamed(terms)) if older else None
    drawn = {}
    for which, tiers, merges, path in (
        ("published", published, tree, order),
        ("data_only", data_only, linkage, order_data_only),
    ):
        outer = read_outer_ring(tiers, terms, read_linkage(merges), D, settings["sector_width"])
        drawn[which] = ordered(outer, streams, settings, previous)
        write_order(path, outer, drawn[which][1])
        previous = previous or read_angles(path)
    outer, layout, _, _ = drawn["published"]
    support = adjacency_of(published, outer, sorts, chart, method, streams, settings)
    pairs = neighbours_around(outer, layout)
    write_adjacency(classes, adjacency_rows(*support, pairs))
    agreement = agreement_with(map, outer, layout, streams, settings["permutations"])
    found = record_of(drawn, support, pairs, settings, older_study)
    found["agreement_with_map"] = agreement_record(agreement, read_json(map_record))
    write_json(record, found)


def ordered(outer, streams, settings, previous):
    """Return the outer ring, its layout, the evidence of its order, and groups kept binary."""
    freedom = settings["order_freedom"]
    tree, refined = ordering_tree(outer.Z, outer.classes, outer.subclasses, freedom)
    drawings, starts = settings["random_drawings"], settings["free_tour_starts"]
    evidence = order_evidence(tree, outer.Z, outer.D, streams, drawings, starts)
    budget, class_gap = settings["gap_budget_deg"], settings["class_gap"]
    layout = lay_out(outer, evidence.best.order, budget, class_gap, previous)
    return outer, layout, evidence, refined


def adjacency_of(published, outer, sorts, chart, method, streams, settings):
    """Return the classes in sorted order, and how often each two are neighbours."""
    read, chart = read_analysed(sorts), read_chart_source(chart)
    basis = make_basis(read.piles, read.populations, chart.source, chart.weights)
    names = sorted(set(outer.classes))
    labels = np.array([names.index(row["class"]) for row in read_table(published)])
    replicates = settings["adjacency_replicates"]
    return names, adjacency(basis, method, streams, replicates, labels, outer.kept)


def agreement_with(map_path, outer, layout, streams, permutations):
    """Compare the directions of the ring with those of the map."""
    directions = read_map(map_path)
    there = np.array([directions[outer.terms[i]] for i in layout.order])
    here = np.radians(layout.ring.middles)
    return circular_agreement(here, there, streams.generator("ring-and-map"), permutations)


def record_of(drawn, support, pairs, settings, older_study):
    """Return the record of the order."""
    outer, layout, evidence, refined = drawn["published"]
    return {
        "order_freedom": settings["order_freedom"],
        "order_freedom_means": FREEDOM[settings["order_freedom"]],
        **length_record("published", outer, evidence, refined),
        "data_only": length_record("data_only", drawn["data_only"][0], *drawn["data_only"][2:]),
        "free_tour_is": FREE_TOUR,
        "tie_rule": TIE_RULE,
        "adjacency": adjacency_record(*support, pairs, settings["adjacency_replicates"]),
        "gaps": gap_record(layout, settings["gap_budget_deg"]),
        "angles": ANGLES,
        "sector_width": settings["sector_width"],
        "pose": pose_record(layout.pose, older_study),
    }


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
