"""Whose sorts the chart is made from, and how they weigh: what later stages need of the dossier."""

from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Literal

from felloe.ground.files.records import read_json, write_json

Weights = Literal["plain", "equal"]
ChosenBy = Literal["only", "verdict", "settings", "size"]
Override = Literal["always", "never", "one"]


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
    chosen_by : {"only", "verdict", "settings", "size"}
        What settled the source: that there is only one population, the verdict on pooling, the
        settings, or, where populations are kept apart and the settings name none, which
        population is the largest.
    provisional : bool
        Whether all are charted though nobody can tell if they may be pooled.
    preview : bool
        Whether it was computed with few replicates, for trying things.
    override : {"always", "never", "one"} or None
        The setting that stands above the verdict: `comparison.pooling`, or, where nobody can tell,
        `comparison.cannot_tell`. None where the verdict decides.
    override_reason : str or None
        Why, in the words of the study's owner; None where none was given.
    """

    source: str
    weights: Weights
    chosen_by: ChosenBy = "verdict"
    provisional: bool = False
    preview: bool = False
    override: Override | None = None
    override_reason: str | None = None


def write_chart_source(path: str | Path, chart: ChartSource) -> None:
    """Write whose chart it is."""
    write_json(path, asdict(chart))


def read_chart_source(path: str | Path) -> ChartSource:
    """Read whose chart it is."""
    return ChartSource(**read_json(path))
