"""Step: write the edition's vocabulary as SKOS and the whole chart as data."""

from felloe.report.chart import assemble_chart, write_chart
from felloe.report.vocabulary import vocabulary_graph, write_jsonld, write_turtle


def main(*, study, turtle, jsonld, chart, **sources):
    """Put the chart together from the results and write it three times."""
    assembled = assemble_chart(**sources)
    graph = vocabulary_graph(study, assembled)
    write_turtle(turtle, graph)
    write_jsonld(jsonld, graph)
    write_chart(chart, assembled)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
