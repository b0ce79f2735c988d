"""Which texts of a chart are in the study's own language, though the chart is in another."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class OwnTexts:
    """
    What stands in the study's own language for want of another.

    Attributes
    ----------
    language : str
        Tag of the study's language; empty where the chart is in it.
    parts : mapping of (tier, id) to collection of str
        `label`, `definition`, `reference`, `caution`.
    """

    language: str
    parts: Mapping[tuple[str, str], Collection[str]]

    def of(self, tier: str, name: str, part: str = "label") -> str:
        """Return the language of a text where it is not that of the chart, else ""."""
        return self.language if part in self.parts.get((tier, name), ()) else ""


def own_texts(chart: Mapping[str, Any]) -> OwnTexts:
    """Return what of a chart, as in `chart.json`, stands in the study's own language."""
    own = chart.get("own_language", chart["language"])
    parts = {(each["tier"], each["id"]): each["parts"] for each in chart["untranslated"]}
    return OwnTexts(own if own != chart["language"] else "", parts)
