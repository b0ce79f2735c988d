"""The records of the report keep to their schemas, and pages name the templates they fill."""

from pathlib import Path

import numpy as np
import pytest
import yaml
from felloe.ground.files.records import read_json
from felloe.provenance import LIBRARY, files_of, templates_of
from felloe.validation.canonical import shown_record
from felloe.versions import code_files
from jsonschema import Draft202012Validator

SCHEMAS = Path(__file__).parents[3] / "workflow" / "schemas" / "records"
RECORDS = {
    "report.chart": "report/chart.json",
    "report.manifest": "manifest.json",
    "report.environment": "environment.json",
    "report.ro-crate-metadata": "ro-crate-metadata.json",
}
PAGES = (
    "write_report", "write_pages", "write_hand_off", "report_editions", "report_timeline",
)  # fmt: skip


def schema(name):
    return yaml.safe_load((SCHEMAS / f"{name}.schema.yaml").read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", RECORDS)
def test_a_schema_is_one(name):
    Draft202012Validator.check_schema(schema(name))


@pytest.mark.parametrize("name", RECORDS)
def test_a_record_keeps_to_its_schema(small_results, name):
    record = read_json(small_results / RECORDS[name])
    errors = Draft202012Validator(schema(name)).iter_errors(record)
    assert [f"{error.json_path}: {error.message}" for error in errors] == []


@pytest.mark.parametrize("few", [{}, {"but_a_few": True}], ids=["everybody", "but a few"])
def test_a_chart_of_sorts_in_parts_keeps_to_the_schema(small_results, few):
    record = read_json(small_results / "report" / "chart.json")
    told = shown_record(np.arange(12) < np.array([[9], [9], [9], [9], [6 if few else 9]]), 2)
    told.pop("partial")
    assert ("but_a_few" in told["terms_per_participant"]) == bool(few)
    errors = Draft202012Validator(schema("report.chart")).iter_errors({**record, **told})
    assert [f"{error.json_path}: {error.message}" for error in errors] == []


def test_a_chart_in_another_language_keeps_to_the_schema_too(small_results):
    record = read_json(small_results / "report" / "chart.de.json")
    errors = Draft202012Validator(schema("report.chart")).iter_errors(record)
    assert [f"{error.json_path}: {error.message}" for error in errors] == []
    assert record["language"] == "de"
    assert "Bäume" in {class_["name"] for class_ in record["classes"]}
    assert {
        "tier": "term",
        "id": "elm",
        "parts": ["label", "definition", "reference", "caution"],
    } in (record["untranslated"])


def test_every_template_is_part_of_a_page():
    templates = {path for ending in ("j2", "js", "css") for path in LIBRARY.rglob(f"*.{ending}")}
    read = {path for page in PAGES for path in files_of(page)}
    for page in ("audit/page.py", "collecting/page/sort_page.py"):  # no step fills them
        read |= templates_of(LIBRARY / page)
    assert templates
    assert templates <= read


def test_whatever_a_step_reads_beside_its_code_is_part_of_the_projects_code():
    # else an archive lacks it, and the hash of the code misses a change of it
    read = {file for path in LIBRARY.rglob("*.py") for file in templates_of(path)}
    assert {path.suffix for path in read} >= {".j2", ".js", ".css", ".yaml"}
    assert read <= set(code_files())


def test_an_edit_of_the_wheels_page_reruns_no_report():
    read = {path for path in files_of("write_pages") if path.suffix != ".py"}
    words = {path for path in read if path.parent.name == "languages"}
    assert {path.name for path in read - words} == {
        "wheel.css", "wheel.html.j2", "wheel.js", "wheel_search.js", "wheel_view.js",
        "cards.css", "cards.html.j2",
    }  # fmt: skip
    assert {path.name for path in words} == {"de.yaml", "en.yaml"}
    assert not (read - words) & set(files_of("write_report"))


def test_a_sentence_of_the_report_is_no_part_of_a_step_that_computes():
    computing = ("choose_colours", "assemble_chart", "price_moves")
    worded = [(step, path) for step in computing for path in files_of(step) if path.stem == "words"]
    assert worded == []


def test_a_note_of_the_vocabulary_is_no_part_of_what_compares_editions():
    told = {LIBRARY / "report" / "hand_off" / "vocabulary.py"}
    assert not told & set(files_of("compare_editions"))
