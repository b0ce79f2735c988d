"""Whose sorts the chart is made from, and how they weigh: what later stages need of the dossier."""

from dataclasses import asdict, dataclass
from pathlib import Path

from felloe.ground.records import read_json, write_json


@dataclass(frozen=True)
class ChartSource:
    """
    Whose chart it is.

    Attributes
    ----------
    source : str
        "pooled", or the population that is charted.
    weights : {"plain", "equal"}
        Whether each participant weighs the same, or each population.
    chosen_by : {"verdict", "settings", "size"}
        What settled the source: the verdict on pooling, the settings, or, where populations are
        kept apart and the settings name none, which population is the largest.
    """

    source: str
    weights: str
    chosen_by: str = "verdict"


def write_chart_source(path: str | Path, chart: ChartSource) -> None:
    """Write whose chart it is."""
    write_json(path, asdict(chart))


def read_chart_source(path: str | Path) -> ChartSource:
    """Read whose chart it is."""
    return ChartSource(**read_json(path))
