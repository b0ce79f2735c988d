"""Two folders of results that are put side by side can be told apart by what they are called."""

from pathlib import Path

import pytest
from felloe.launching import commands


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        (["before", "after"], ["before", "after"]),
        (["a/results", "b/results"], ["A", "B"]),
        (["runs/a", "b"], ["a", "b"]),
    ],
)
def test_folders_of_one_name_are_called_as_the_command_calls_them(typed, expected, monkeypatch):
    asked = {}
    monkeypatch.setattr(commands, "audited", lambda engine, **further: asked.update(further) or 0)
    words = [str(Path(word).absolute()) if "/" in word else word for word in typed]
    paths = [Path(word) for word in words]
    assert commands.side_by_side(None, *paths, Path("page.html"), words) == 0
    assert asked["sides"] == expected
