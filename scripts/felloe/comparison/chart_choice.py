"""What the chart is made from, as the verdict and the settings have it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from felloe.comparison.chart import ChartSource, Weights
from felloe.comparison.verdict import APART, CANNOT
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
    cannot_tell : {"pooled", "one", "stop"}
        What is charted where the verdict is that nobody can tell: all participants, provisionally;
        one population; or nothing.
    chart_population : str or dict of str to str or None
        The population to chart where they are kept apart, or study to population; None for the
        largest one.
    equal_weights_ratio : float
        Larger population over smaller, above which pooled populations weigh the same.
    """

    pooling: Literal["decide", "always", "never"]
    cannot_tell: Literal["pooled", "one", "stop"]
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
        If populations are kept apart and the settings name one that the study has not, or if
        nobody can tell and the settings say to stop then.
    """
    if verdict is None:
        return ChartSource(POOLED, "plain", "only")
    pooling, open_question = settings.pooling, verdict == CANNOT
    if pooling == "decide" and open_question and settings.cannot_tell == "stop":
        raise StudyError(
            f"study '{study}': whether the populations may be pooled cannot be told from these "
            "sorts, and the setting comparison.cannot_tell is 'stop'. Collect more sorts, or set "
            "it to 'pooled' (a provisional chart) or 'one' (that of one population)."
        )
    apart = verdict == APART or (open_question and settings.cannot_tell == "one")
    if pooling == "always" or (pooling == "decide" and not apart):
        weights = chart_weights(populations, settings.equal_weights_ratio)
        if pooling == "always":
            return ChartSource(POOLED, weights, "settings")
        return ChartSource(POOLED, weights, "verdict", provisional=open_question)
    names, chosen = sorted(set(populations)), settings.population_of(study)
    if chosen is None:
        largest = max(names, key=list(populations).count)  # the first of several equally large
        return ChartSource(largest, "plain", "size")
    if chosen in names:
        return ChartSource(chosen, "plain", "settings")
    why = (
        "the setting comparison.pooling is 'never'"
        if pooling == "never"
        else f"the verdict is '{verdict}'"
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
