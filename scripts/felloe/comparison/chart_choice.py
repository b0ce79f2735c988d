"""What the chart is made from, as the verdict and the settings have it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from felloe.comparison.chart import ChartSource, Override, Weights
from felloe.comparison.verdict import APART, CANNOT
from felloe.errors import StudyError
from felloe.ground.people.sorts import POOLED


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
    override_reason : str or None
        Why the verdict is overridden, in the words of the study's owner.
    """

    pooling: Literal["decide", "always", "never"]
    cannot_tell: Literal["pooled", "one", "stop"]
    chart_population: str | Mapping[str, str] | None
    equal_weights_ratio: float
    override_reason: str | None = None

    def population_of(self, study: str) -> str | None:
        """Return the population that the settings name for a study."""
        chosen = self.chart_population
        return chosen.get(study) if isinstance(chosen, Mapping) else chosen


def choose_chart(
    study: str, verdict: str | None, n_people: Mapping[str, int], settings: Pooling
) -> ChartSource:
    """
    Return which chart follows from the verdict and the settings.

    Parameters
    ----------
    study : str
    verdict : str or None
        None for one population.
    n_people : mapping of str to int
        The people of each population.
    settings : Pooling

    Raises
    ------
    StudyError
        If populations are kept apart and the settings name one that the study has not, or if
        nobody can tell and the settings say to stop then.
    """
    if verdict is None:
        return ChartSource(POOLED, "plain", "only")
    open_question = verdict == CANNOT
    override = override_of(verdict, settings)
    reason = settings.override_reason if override else None
    above: dict[str, Any] = {"override": override, "override_reason": reason}
    if override is None and open_question and settings.cannot_tell == "stop":
        raise StudyError(
            f"study '{study}': whether the populations may be pooled cannot be told from these "
            "sorts, and the setting comparison.cannot_tell is 'stop'. The dossier is complete: "
            f"results/{study}/comparison/populations.json. Collect more sorts, or set "
            "comparison.cannot_tell to 'pooled' (a provisional chart) or 'one' (that of one "
            "population)."
        )
    if override == "always" or (override is None and verdict != APART):
        weights = chart_weights(n_people, settings.equal_weights_ratio)
        if override == "always":
            return ChartSource(POOLED, weights, "settings", **above)
        return ChartSource(POOLED, weights, "verdict", provisional=open_question)
    names, chosen = sorted(n_people), settings.population_of(study)
    if chosen is None:
        largest = max(names, key=lambda name: n_people[name])  # the first of equally large ones
        return ChartSource(largest, "plain", "size", **above)
    if chosen in names:
        return ChartSource(chosen, "plain", "settings", **above)
    raise unknown_population(study, verdict, names, chosen, override)


def override_of(verdict: str, settings: Pooling) -> Override | None:
    """Return the setting that stands above a verdict, None where the verdict decides."""
    if settings.pooling != "decide":
        return settings.pooling
    return "one" if verdict == CANNOT and settings.cannot_tell == "one" else None


def unknown_population(
    study: str, verdict: str, names: Sequence[str], chosen: str, override: Override | None
) -> StudyError:
    """Return the error of a population to chart that the study has not."""
    why = (
        "the setting comparison.pooling is 'never'"
        if override == "never"
        else f"the verdict is '{verdict}'"
    )
    return StudyError(
        f"study '{study}': the populations are not pooled, because {why}, and "
        f"comparison.chart_population is '{chosen}', which is no population of it. Set it to the "
        "population that the chart is for, or to a mapping from study to population; the "
        f"populations are: {', '.join(names)}. "
        "To pool all the same, set comparison.pooling to 'always'; the report will say so."
    )


def chart_weights(n_people: Mapping[str, int], ratio: float) -> Weights:
    """
    Return whether pooled populations weigh by their people or all the same.

    Parameters
    ----------
    n_people : mapping of str to int
        The people of each population.
    ratio : float
        Larger population over smaller, above which all weigh the same.
    """
    sizes = n_people.values()
    return "equal" if max(sizes) > ratio * min(sizes) else "plain"
