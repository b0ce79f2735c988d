"""Step: what the chart is made from, as the verdict and the settings have it."""

from dataclasses import replace
from typing import Any

from felloe.comparison.chart import write_chart_source
from felloe.comparison.chart_choice import Pooling
from felloe.comparison.chart_choice import choose_chart as choose
from felloe.ground.files.records import read_json


def main(
    *, populations: str, study: str, pooling: dict[str, Any], chart: str, preview: bool = False
) -> None:
    """Read the verdict, say what is charted; stop where the settings ask for it."""
    dossier = read_json(populations)
    charted = choose(study, dossier["verdict"], dossier["n_people"], Pooling(**pooling))
    write_chart_source(chart, replace(charted, preview=preview))
