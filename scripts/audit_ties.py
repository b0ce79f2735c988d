"""Step: what depends on the order in which tied distances are met."""

from felloe.clustering.ties import audit_ties
from felloe.ground.randomness import Streams
from felloe.ground.records import read_json, write_json
from felloe.ground.tables import read_square, write_table


def main(*, distances, summary, study, seed, method, orders, ties, audit):
    """Write the share of input orders in which each term changes its group, and the totals."""
    terms, apart = read_square(distances)
    chosen, streams = read_json(summary), Streams(seed, study)
    permutations = [
        streams.generator("tie-order", one).permutation(len(terms)) for one in range(orders)
    ]
    numbers = chosen["classes"]["number"], chosen["subclasses"]["number"]
    found = audit_ties(apart, method, permutations, *numbers)
    rows = zip(terms, found.term_share, found.subclass_share, strict=True)
    columns = ["term", "class_depends_on_tie_break", "subclass_depends_on_tie_break"]
    write_table(ties, columns, rows)
    write_json(
        audit,
        {
            "orders": found.orders,
            "distinct_trees": found.distinct_trees,
            "distinct_merge_sequences": found.distinct_mergings,
            "pairs": found.pairs,
            "distinct_distances": found.distinct_values,
            "adjusted_rand_mean": found.rand_mean,
            "adjusted_rand_least": found.rand_least,
            "class_agreement": found.class_agreement,
            "node_share": found.node_share,
            "rule": "terms in sorted id order, distances rounded to 12 decimals",
        },
    )


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
