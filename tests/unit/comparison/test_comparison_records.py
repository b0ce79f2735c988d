"""The records of the comparison hold what their schemas say, and nothing else."""

from dataclasses import asdict
from pathlib import Path

import comparison_example as example
import pytest
import yaml
from felloe.comparison import words
from felloe.comparison.chart_choice import Pooling, choose_chart
from jsonschema import Draft202012Validator, ValidationError

SCHEMAS = Path(__file__).parents[3] / "workflow" / "schemas" / "records"
ALIKE = example.sorts_of(example.ONE_POPULATION, 1)
STUDIES = {
    "alike": ALIKE,
    "different": example.sorts_of(example.MOVED, 2),
    "one population": example.sorts_of(example.ONE_POPULATION, 3, names=("makers", "makers")),
    "three populations": example.sorts_of_three(4),
    "few terms": ALIKE.on(ALIKE.terms[:50:9]),
    "few people": example.sorts_of_few(1),
}
SMALL = {"few terms": (2, 3)}


def checked(name, record):
    schema = yaml.safe_load((SCHEMAS / f"comparison.{name}.schema.yaml").read_text("utf-8"))
    Draft202012Validator.check_schema(schema)
    Draft202012Validator(schema).validate(record)


@pytest.fixture(scope="module")
def records():
    found = {}
    for name, sorts in STUDIES.items():
        settings = example.with_numbers(SMALL.get(name, (6, 18)))
        found[name] = example.record_of(example.dossier_of(sorts, settings), sorts)
    return found


@pytest.mark.parametrize("name", STUDIES)
def test_every_dossier_is_as_its_schema_says(records, name):
    checked("populations", records[name])


def test_few_terms_have_the_exact_p_too(records):
    assert records["few terms"]["mantel"]["pearson_exact"]["orders"] == 720


def test_few_people_cannot_tell_and_are_told_how_many_more_would(records):
    record = records["few people"]
    assert record["verdict"] == "cannot_tell"
    assert record["plan"]["question"] == "agreement"
    assert set(record["plan"]["only"]) == {"makers", "panel"}
    assert record["plan"]["of_each"]["share"] >= record["plan"]["enough"]
    assert record["pairs"][0]["plan"] == record["plan"]


def test_what_is_settled_has_no_plan(records):
    assert records["alike"]["verdict"] == "pool"
    assert records["alike"]["plan"] is None


def test_few_people_are_told_a_bound(records):
    found = records["few people"]["noise_ceiling"]
    assert min(found["reliability"].values()) < example.MARGINS.reliability
    assert (found["corrected_r"]["says"], found["corrected_r"]["because"]) == (
        "at_least",
        "unreliable",
    )


def test_the_same_dossier_is_planned_alike():
    sorts = STUDIES["few people"]
    one, other = (example.record_of(example.dossier_of(sorts), sorts) for _ in range(2))
    assert one["plan"] == other["plan"]


@pytest.mark.parametrize("name", STUDIES)
def test_a_dossier_holds_no_sentence(records, name):
    def texts(value):
        if isinstance(value, dict):
            value = list(value.values())
        return (
            [text for one in value for text in texts(one)] if isinstance(value, list) else [value]
        )

    told = {text for text in texts(records[name]) if isinstance(text, str)}
    assert not {text for text in told if len(text.split()) > 2}


@pytest.mark.parametrize("missing", ["mantel", "verdict", "granularity", "pairs"])
def test_a_dossier_without_one_of_its_keys_is_refused(records, missing):
    short = {key: value for key, value in records["alike"].items() if key != missing}
    with pytest.raises(ValidationError):
        checked("populations", short)


def test_a_key_that_nobody_declared_is_refused(records):
    with pytest.raises(ValidationError):
        checked("populations", {**records["alike"], "sentence": "The populations are alike."})


def test_one_population_can_not_have_a_verdict(records):
    with pytest.raises(ValidationError):
        checked("populations", {**records["one population"], "verdict": "pool"})


@pytest.mark.parametrize("verdict", [None, *words.VERDICTS])
@pytest.mark.parametrize("pooling", ["decide", "always", "never"])
def test_whose_chart_it_is_is_as_its_schema_says(verdict, pooling):
    settings = Pooling(pooling, "pooled", None, 1.5)
    checked("chart", asdict(choose_chart("a-study", verdict, {"makers": 3, "panel": 1}, settings)))


def test_the_schema_knows_every_reason_that_has_words():
    schema = yaml.safe_load((SCHEMAS / "comparison.populations.schema.yaml").read_text("utf-8"))
    assert set(schema["$defs"]["pair"]["properties"]["reason"]["enum"]) == set(words.REASONS)
