"""Every table and figure of a report is followed by a sentence that says what follows from it."""

import re
from pathlib import Path

import pytest
from felloe.report.telling.evidence import Evidence
from felloe.report.telling.page import Page

LIBRARY = Path(__file__).parents[2] / "scripts" / "felloe"
SHOWN = re.compile(r"\{\{ page\.(table|figure)\((.*?)\) \}\}")
OF_RUNS = LIBRARY / "audit"  # compares two runs for whoever made them, and decides nothing
TEMPLATES = sorted(
    path
    for path in LIBRARY.rglob("*.html.j2")
    if OF_RUNS not in path.parents and "page." in path.read_text(encoding="utf-8")
)


def names(paths):
    return [path.relative_to(LIBRARY).as_posix() for path in paths]


@pytest.mark.parametrize("path", TEMPLATES, ids=names(TEMPLATES))
def test_every_table_and_figure_has_its_sentence(path):
    text = path.read_text(encoding="utf-8")
    calls = SHOWN.findall(text)
    assert len(calls) == len(re.findall(r"page\.(?:table|figure)\(", text))
    assert [call for _, call in calls if ", so=" not in call] == []


@pytest.mark.parametrize("path", TEMPLATES, ids=names(TEMPLATES))
def test_every_table_written_by_hand_has_its_sentence(path):
    text = path.read_text(encoding="utf-8")
    tables = text.split("</table>")[1:]
    assert [after[:80] for after in tables if "page.follows(" not in after[:40]] == []


def test_there_are_tables_and_figures():
    found = "".join(path.read_text(encoding="utf-8") for path in TEMPLATES)
    assert len(SHOWN.findall(found)) > 20


def test_a_sentence_is_no_empty_one(tmp_path):
    page = Page(Evidence(tmp_path, [], lambda name: None))
    with pytest.raises(ValueError, match="what follows"):
        page.follows("")
    assert "<b>What follows:</b> It holds.</p>" in page.follows("It holds.")
