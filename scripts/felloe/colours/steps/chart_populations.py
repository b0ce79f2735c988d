"""Step: each population's own chart."""

from felloe.colours.own_chart_rows import own_chart_rows
from felloe.colours.tables import OWN_CHARTS
from felloe.matrices.tables import read_all_counts


def main(
    *,
    together: list[str],
    both: list[str],
    populations: list[str],
    published: str,
    order: str,
    method: str,
    gaps: dict[str, float],
    table: str,
    prior: float | None = None,
) -> None:
    """Chart every population alone, write who stands where."""
    counts = read_all_counts(populations, together, both, prior)
    OWN_CHARTS.write(table, own_chart_rows(counts, published, order, method, gaps))
