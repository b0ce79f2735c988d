"""A plan that was made."""

import pytest
from felloe.foresight.making import planned_text
from planning_example import (
    ABOUT,
    ASSUMED,
    OWN,
    SIZES,
    STREAMS,
)


@pytest.fixture
def made(tmp_path, monkeypatch):
    """A plan of few studies, made in a folder of its own."""
    monkeypatch.chdir(tmp_path)
    said = planned_text(ASSUMED, SIZES, ABOUT, STREAMS, OWN)
    return tmp_path / "plans" / "brine", said
