"""Two folders of results that are put side by side can be told apart by what they are called."""

import pytest
from felloe.launching import commands


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        (["before", "after"], ["before", "after"]),
        (["{here}/a/results", "{here}/b/results"], ["A", "B"]),
        (["{here}/a", "b"], ["a", "b"]),
    ],
)
def test_folders_of_one_name_are_called_as_the_command_calls_them(
    typed, expected, tmp_path, monkeypatch
):
    for name in ("before", "after", "a/results", "b/results"):
        (tmp_path / name).mkdir(parents=True, exist_ok=True)
    asked = {}
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(commands, "audited", lambda engine, **further: asked.update(further) or 0)
    assert commands.compare_runs([word.format(here=tmp_path) for word in typed]) == 0
    assert asked["sides"] == expected
