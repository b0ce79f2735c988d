"""Step: write the edition's vocabulary as SKOS."""

from felloe.report.chart import read_chart
from felloe.report.vocabulary import vocabulary_graph, write_jsonld, write_turtle


def main(*, chart: str, study: str, turtle: str, jsonld: str) -> None:
    """Read the chart, write its words as a concept scheme in two formats."""
    graph = vocabulary_graph(study, read_chart(chart))
    write_turtle(turtle, graph)
    write_jsonld(jsonld, graph)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
