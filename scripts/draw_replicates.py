"""Step: one part of the trees of redrawn participants, with and without structure."""

import numpy as np
from felloe.clustering.multiscale import SCALES
from felloe.clustering.parts import write_replicates
from felloe.clustering.redraws import (
    NULL_PURPOSE,
    make_basis,
    permuted_basis,
    redraw_trees,
)
from felloe.comparison.chart import read_chart_source
from felloe.ground.randomness import Streams
from felloe.validation.tables import read_analysed


def share_of_part(part_name, number):
    """Return which of `number` things a part named 'i-of-n' makes."""
    part, parts = (int(word) for word in part_name.split("-of-"))
    return np.arange(part - 1, number, parts)


def main(
    *, sorts, chart, study, seed, method, part_name, replicates, null_sets, null_replicates,
    multiscale, part,
):  # fmt: skip
    """Write the merges of this part's replicates; their numbers say where they belong."""
    read, chart = read_analysed(sorts), read_chart_source(chart)
    streams = Streams(seed, study)
    basis = make_basis(read.piles, read.populations, chart.source, chart.weights)
    numbers = share_of_part(part_name, replicates)
    arrays = {"numbers": numbers, "merges": redraw_trees(basis, method, streams, numbers.tolist())}
    sets = share_of_part(part_name, null_sets)
    arrays["null_numbers"] = sets
    arrays["null_merges"] = np.array(
        [
            redraw_trees(
                permuted_basis(basis, streams.generator(NULL_PURPOSE, one)),
                method, streams, range(null_replicates), f"{NULL_PURPOSE}-{one}",
            )
            for one in sets.tolist()
        ],
        dtype=np.uint16,
    ).reshape(len(sets), null_replicates, basis.n_terms - 1, 2)  # fmt: skip
    of_scale = share_of_part(part_name, multiscale)
    arrays["scale_numbers"] = of_scale
    arrays["scale_merges"] = np.array(
        [
            redraw_trees(basis, method, streams, of_scale.tolist(), f"scale-{size}", size)
            for size in (SCALES if multiscale else ())
        ],
        dtype=np.uint16,
    ).reshape(len(SCALES) if multiscale else 0, len(of_scale), basis.n_terms - 1, 2)
    write_replicates(part, **arrays)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
