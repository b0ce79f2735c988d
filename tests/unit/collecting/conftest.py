"""Studies before anybody is asked, and before any answer, each in a working folder of its own."""

import pytest
from kit_example import SETTINGS, write_asking
from return_examples import write_asked


@pytest.fixture
def home(tmp_path, monkeypatch):
    """The working folder, with settings that name the study."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "mine.yaml").write_text(SETTINGS, encoding="utf-8")
    return tmp_path


@pytest.fixture
def here(home):
    """The working folder of a study with two people invited."""
    write_asking(home / "asked")
    return home


@pytest.fixture
def folder(home):
    """The folder of a study that was issued and not answered."""
    return write_asked(home / "asked")
