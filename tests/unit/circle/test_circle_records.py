"""The files of the ring: records keep to their schemas, tables to their declarations."""

from pathlib import Path

import jsonschema
import pytest
from felloe.circle.tables import TABLES
from felloe.ground.files.records import read_json
from felloe.settings import read_yaml

SCHEMAS = Path(__file__).parents[3] / "workflow/schemas/records"


def faults(name, record):
    schema = read_yaml(SCHEMAS / f"{name}.schema.yaml")
    return [one.message for one in jsonschema.Draft202012Validator(schema).iter_errors(record)]


@pytest.mark.parametrize("name", ["order", "map"])
def test_the_record_of_a_whole_study_keeps_to_its_schema(small_results, name):
    assert faults(f"circle.{name}", read_json(small_results / f"circle/{name}.json")) == []


@pytest.mark.parametrize("name", ["order", "map"])
def test_a_key_that_the_schema_does_not_know_is_refused(small_results, name):
    record = read_json(small_results / f"circle/{name}.json")
    assert faults(f"circle.{name}", {**record, "remark": "a sentence"}) != []


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.path)
def test_what_was_read_is_written_as_it_was(small_results, tmp_path, table):
    path = small_results / table.path
    table.write(tmp_path / "again.csv", table.read(path))
    assert (tmp_path / "again.csv").read_bytes() == path.read_bytes()
