"""What populations are called; apart from the sentences, so that these do not redraw figures."""

from collections.abc import Mapping

from felloe.ground.people.sorts import POOLED

EVERYBODY = "All participants"


def labels_with_all(populations: Mapping[str, str]) -> dict[str, str]:
    """Return the labels of populations, and of all of them together."""
    return {**populations, POOLED: EVERYBODY}
