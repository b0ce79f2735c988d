"""Step: count who put two terms together, and who placed both, in every population and in all."""

from felloe.ground.files.records import write_json
from felloe.matrices.counts import counts_by_population
from felloe.matrices.observers import observers_record, unseen_rows
from felloe.matrices.tables import UNSEEN, write_counts
from felloe.validation.analysed import read_analysed


def main(
    *,
    sorts: str,
    populations: list[str],
    together: list[str],
    both: list[str],
    prior: float | None = None,
    unseen: str = "",
    observers: str = "",
) -> None:
    """Read the analysed sorts, count, write both matrices of each population; what is unseen."""
    counts = counts_by_population(read_analysed(sorts, prior))
    for name, *paths in zip(populations, together, both, strict=True):
        write_counts(counts[name], *paths)
    if prior is not None:
        told = {name: counts[name] for name in populations}
        UNSEEN.write(unseen, unseen_rows(told))
        write_json(observers, observers_record(told, prior))
