"""A study before its data."""

import pytest
from design_example import SETTINGS, WORDS
from study_folder import write_folder


@pytest.fixture
def before_its_data(tmp_path, monkeypatch):
    """Seven terms, seven people of each population."""
    monkeypatch.chdir(tmp_path)
    people = [[f"{name[0]}{n}", name] for name in ("panel", "makers") for n in range(7)]
    changed = {
        "sorts.csv": None,
        "participants.csv": [["participant", "population"], *people],
        "terms.csv": [["term", "label"], *([term, term.title()] for term in WORDS)],
    }
    write_folder(tmp_path / "words", changed)
    (tmp_path / "mine.yaml").write_text(SETTINGS, encoding="utf-8")
    return tmp_path
