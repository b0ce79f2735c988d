"""Step: put the whole chart together as data."""

from felloe.report.chart import assemble_chart, read_sources, write_chart


def main(*, limits: dict[str, float], chart: str, **sources: str) -> None:
    """Read the results, put them together, write them."""
    write_chart(chart, assemble_chart(read_sources(**sources), limits))
