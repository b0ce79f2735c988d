"""What the chart is made from, as the verdict and the settings have it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from felloe.comparison.chart import ChartSource, Weights
from felloe.comparison.verdict import APART
from felloe.errors import StudyError
from felloe.ground.sorts import POOLED


@dataclass(frozen=True)
class Pooling:
    """
    What the settings say about the chart.

    Attributes
    ----------
    pooling : {"decide", "always", "never"}
        Whether the verdict decides, or is overridden.
    chart_population : str or dict of str to str or None
        The population to chart where they are kept apart, or study to population; None for the
        largest one.
    equal_weights_ratio : float
        Larger population over smaller, above which pooled populations weigh the same.
    """

    pooling: Literal["decide", "always", "never"]
    chart_population: str | Mapping[str, str] | None
    equal_weights_ratio: float

    def population_of(self, study: str) -> str | None:
        """Return the population that the settings name for a study."""
        chosen = self.chart_population
        return chosen.get(study) if isinstance(chosen, Mapping) else chosen


def choose_chart(
    study: str, verdict: str | None, populations: Sequence[str], settings: Pooling
) -> ChartSource:
    """
    Return which chart follows from the verdict and the settings.

    Parameters
    ----------
    study : str
    verdict : str or None
        None for one population.
    populations : sequence of str
        The population of each participant.
    settings : Pooling

    Raises
    ------
    StudyError
        If populations are kept apart and the settings name one that the study has not.
    """
    if verdict is None:
        return ChartSource(POOLED, "plain", "only")
    pooling = settings.pooling
    if pooling == "always" or (pooling == "decide" and verdict != APART):
        weights = chart_weights(populations, settings.equal_weights_ratio)
        return ChartSource(POOLED, weights, "verdict" if pooling == "decide" else "settings")
    names, chosen = sorted(set(populations)), settings.population_of(study)
    if chosen is None:
        largest = max(names, key=list(populations).count)  # the first of several equally large
        return ChartSource(largest, "plain", "size")
    if chosen in names:
        return ChartSource(chosen, "plain", "settings")
    why = (
        "the setting comparison.pooling is 'never'"
        if pooling == "never"
        else "the verdict is 'keep_apart'"
    )
    raise StudyError(
        f"study '{study}': the populations are not pooled, because {why}, and "
        f"comparison.chart_population is '{chosen}', which is no population of it. Set it to the "
        "population that the chart is for, or to a mapping from study to population; the "
        f"populations are: {', '.join(names)}. "
        "To pool all the same, set comparison.pooling to 'always'; the report will say so."
    )


def chart_weights(populations: Sequence[str], ratio: float) -> Weights:
    """
    Return whether pooled populations weigh by their people or all the same.

    Parameters
    ----------
    populations : sequence of str
        The population of each participant.
    ratio : float
        Larger population over smaller, above which all weigh the same.
    """
    _, sizes = np.unique(np.asarray(populations), return_counts=True)
    return "equal" if sizes.max() > ratio * sizes.min() else "plain"
