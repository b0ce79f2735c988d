"""Step: the published groups under other choices, in redrawn circles, in people's own words."""

from typing import Any

from felloe.circle.steps import redraw_rings
from felloe.sensitivity.steps import explore_universes
from felloe.tiers.steps import count_words


def main(
    *,
    analysed: str,
    chart: str,
    places: str,
    smallest_cell: int,
    linkage: str,
    seed: int,
    study: str,
    replicates: int,
    neighbours: str,
    pile_words: str,
    words: str,
    prior: float | None = None,
    **grid: Any,
) -> None:
    """Build the classes of every universe, order redrawn circles, count words."""
    explore_universes.main(
        analysed=analysed,
        chart=chart,
        places=places,
        smallest_cell=smallest_cell,
        linkage=linkage,
        prior=prior,
        **grid,
    )
    redraw_rings.main(
        places=places,
        sorts=analysed,
        chart=chart,
        study=study,
        seed=seed,
        method=linkage,
        replicates=replicates,
        neighbours=neighbours,
        prior=prior,
    )
    count_words.main(
        analysed=analysed,
        pile_words=pile_words,
        places=places,
        smallest_cell=smallest_cell,
        words=words,
    )


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
