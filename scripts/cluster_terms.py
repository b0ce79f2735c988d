"""Step: what is charted, its distances, their tree, and how tree-like they are."""

from typing import Any

from felloe.clustering.steps import cluster_terms
from felloe.comparison.steps import choose_chart


def main(
    *,
    populations: str,
    study: str,
    pooling: dict[str, Any],
    chart: str,
    counted: list[str],
    preview: bool = False,
    **tree: Any,
) -> None:
    """Say what is charted, or stop where the settings ask for it; then build its tree."""
    choose_chart.main(
        populations=populations, study=study, pooling=pooling, chart=chart, preview=preview
    )
    cluster_terms.main(chart=chart, study=study, populations=counted, **tree)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
