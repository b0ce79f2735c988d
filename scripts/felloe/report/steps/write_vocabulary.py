"""Step: write the edition's vocabulary as SKOS."""

from collections.abc import Sequence

from felloe.report.chart import read_chart
from felloe.report.hand_off.vocabulary import vocabulary_graph, write_jsonld, write_turtle
from felloe.report.languages.language_words import interface_words


def main(
    *, chart: str, study: str, turtle: str, jsonld: str, translations: Sequence[str] = ()
) -> None:
    """Read the chart in all its languages, write its words as a concept scheme in two formats."""
    charts = [read_chart(path) for path in (chart, *translations)]
    for each in charts:
        if notice := interface_words(each["language"]).notice:
            print(notice)
    graph = vocabulary_graph(study, charts[0], charts[1:])
    write_turtle(turtle, graph)
    write_jsonld(jsonld, graph)
