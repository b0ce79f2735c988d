"""The files of the tiers: the record keeps to its schema, tables to their declarations."""

from pathlib import Path

import jsonschema
import pytest
from felloe.clustering.tree_likeness import delta_error
from felloe.ground.files.records import read_json
from felloe.ground.files.tables import read_rows
from felloe.settings import read_yaml
from felloe.tiers.tables import TABLES, UNDECIDED

SCHEMA = Path(__file__).parents[3] / "workflow/schemas/records/tiers.choice.schema.yaml"
TERM = {
    "term": "ash",
    "reason": "chance",
    "home_class": "ash",
    "home_probability": 0.25,
    "rival_class": "",
    "rival_probability": 0.0,
    "similarity_home": 0.5,
    "similarity_rival": None,
    "nearest_terms": ("elm", "oak", "yew"),
    "nearest_share_1": 0.5,
    "nearest_share_2": 0.25,
    "nearest_share_3": 0.125,
    "populations": "makers:neither;panel:home",
    "populations_agree": False,
}
SHARES = {"home:makers": 0.5, "rival:makers": None, "home:panel": 0.75, "rival:panel": 0.25}


def faults(record):
    validator = jsonschema.Draft202012Validator(read_yaml(SCHEMA))
    return [one.message for one in validator.iter_errors(record)]


@pytest.fixture
def choice(small_results):
    return read_json(small_results / "tiers/choice.json")


def test_the_choice_of_a_whole_study_keeps_to_its_schema(choice):
    assert faults(choice) == []


def test_the_error_of_sampled_scores_is_told_where_there_is_one(choice):
    assert "delta_error_at_most" not in choice
    assert faults({**choice, "delta_error_at_most": delta_error(1000)}) == []
    assert faults({**choice, "delta_error_at_most": 2.0}) != []


@pytest.mark.parametrize("part", [(), ("classes",), ("subclasses",), ("status_rule",)])
def test_a_key_that_the_schema_does_not_know_is_refused(choice, part):
    inner = choice
    for key in part:
        inner = inner[key]
    inner["remark"] = "a sentence"
    assert faults(choice) != []


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.path)
def test_what_was_read_is_written_as_it_was(small_results, tmp_path, table):
    path = small_results / table.path
    header, _ = read_rows(path)
    table.write(tmp_path / "again.csv", table.read(path), header[len(table.columns) :])
    assert (tmp_path / "again.csv").read_bytes() == path.read_bytes()


def test_an_undecided_term_keeps_the_shares_of_every_population(tmp_path):
    UNDECIDED.write(tmp_path / "one.csv", [{**TERM, **SHARES}], list(SHARES))
    (row,) = UNDECIDED.read(tmp_path / "one.csv")
    UNDECIDED.write(tmp_path / "two.csv", [row], list(SHARES))
    assert row["nearest_terms"] == ("elm", "oak", "yew")
    assert row["home:panel"] == 0.75
    assert (tmp_path / "one.csv").read_bytes() == (tmp_path / "two.csv").read_bytes()
