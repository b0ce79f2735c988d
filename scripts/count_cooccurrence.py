"""Step: count who put two terms together, and who placed both, in one population."""

from felloe.ground.counts import count_cooccurrence
from felloe.ground.tables import write_square
from felloe.validation.tables import read_analysed


def main(*, sorts, population, together, both):
    """Read the analysed sorts, count, write both matrices."""
    chosen = read_analysed(sorts).of(population)
    counts, placed = count_cooccurrence(chosen.piles)
    write_square(together, chosen.terms, counts)
    write_square(both, chosen.terms, placed)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
