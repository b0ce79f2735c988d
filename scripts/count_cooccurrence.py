"""Step: count who put two terms together, and who placed both, in every population and in all."""

from felloe.matrices.counts import counts_by_population
from felloe.matrices.tables import write_counts
from felloe.validation.tables import read_analysed


def main(*, sorts: str, populations: list[str], together: list[str], both: list[str]) -> None:
    """Read the analysed sorts, count, write both matrices of each population."""
    counts = counts_by_population(read_analysed(sorts))
    for name, *paths in zip(populations, together, both, strict=True):
        write_counts(counts[name], *paths)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
