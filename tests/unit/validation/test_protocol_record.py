"""What is written and said of a protocol once a run is held against it."""

from pathlib import Path

import pytest
import yaml
from felloe.ground.files.records import read_json
from felloe.validation.protocol import departures, previewed
from felloe.validation.protocol_record import write_record
from felloe.validation.protocol_words import margins, rows, short, standing
from jsonschema import Draft202012Validator
from protocol_example import ELM, SETTINGS, TERMS, made, with_setting

SCHEMA = (
    Path(__file__).parents[3] / "workflow/schemas/records/validation.protocol.schema.yaml"
).read_text(encoding="utf-8")


def record(tmp_path, data_seen=False, **changed):
    frozen = {**made(), "data_seen": data_seen}
    write_record(tmp_path / "p.json", frozen, "ab" * 32, departures(frozen, made(**changed)))
    return read_json(tmp_path / "p.json")


@pytest.fixture
def without(tmp_path):
    write_record(tmp_path / "p.json")
    return read_json(tmp_path / "p.json")


MARGIN = {"settings": with_setting("comparison.margins.alpha", 0.1)}


@pytest.mark.parametrize("changed", [{}, MARGIN, {"terms": TERMS[1:]}, {"terms": [*TERMS, ELM]}])
def test_the_record_keeps_to_its_schema(tmp_path, changed):
    found = record(tmp_path, **changed)
    Draft202012Validator(yaml.safe_load(SCHEMA)).validate(found)
    assert found["state"] == ("departed" if changed else "kept")


def test_the_record_without_a_protocol_keeps_to_its_schema(without):
    Draft202012Validator(yaml.safe_load(SCHEMA)).validate(without)
    assert without["state"] == "none"


def test_only_a_kept_margin_frozen_before_the_data_is_said_to_be_fixed_beforehand(
    tmp_path, without
):
    assert "fixed beforehand" in margins(record(tmp_path))
    assert "fixed beforehand" in margins(record(tmp_path, settings=with_setting("seed", 8)))
    for told in (record(tmp_path, **MARGIN), record(tmp_path, data_seen=True), without):
        assert "fixed beforehand" not in margins(told)
    assert "no protocol" in margins(without)
    assert "depart from the protocol in 1 point" in margins(record(tmp_path, **MARGIN))


def test_the_short_line_says_which_protocol_and_whether_it_was_kept(tmp_path, without):
    assert short(without).startswith("nothing: no protocol")
    assert short(record(tmp_path)) == "protocol abababababab\u2026: kept"
    assert "departed from in 1 point" in short(record(tmp_path, **MARGIN))
    assert "2 points" in short(record(tmp_path, **MARGIN, version="2"))


def test_data_seen_is_said(tmp_path):
    assert "frozen when sorts were there already" in short(record(tmp_path, data_seen=True))
    assert "it fixed nothing before the data" in standing(record(tmp_path, data_seen=True))


def test_departures_are_told_as_they_stand_in_files(tmp_path):
    changed = {"settings": with_setting("tiers.classes_range", [6, 14]), "terms": TERMS[1:]}
    assert rows(record(tmp_path, **changed, version="2")) == [
        {"what": "version of Felloe", "frozen": "1.2", "now": "2"},
        {
            "what": "terms.oak",
            "frozen": '{"label": "Oak", "definition": "A tree."}',
            "now": "\u2013",
        },
        {"what": "tiers.classes_range", "frozen": "[6, 12]", "now": "[6, 14]"},
    ]


CHOICES = {"linkage": ["average", "single", "complete"], "around": 2}
WIDE = {**SETTINGS, "sensitivity": CHOICES}
QUICK = {"bootstrap": {"replicates": 9, "new": 1}, "novel": {"a": 1},
         "sensitivity": {"linkage": ["average", "complete"], "around": 0}}  # fmt: skip


def run_as_preview(tmp_path, replicates=9, seed=7):
    """Return the record of a preview; by hand, what a preview makes of the settings."""
    choices = {"linkage": ["average", "complete"], "around": 0}
    now = {**WIDE, "preview": True, "quick": QUICK, "seed": seed, "sensitivity": choices,
           "bootstrap": {"replicates": replicates}}  # fmt: skip
    as_run, n_lowered = previewed(made(settings=WIDE), now)
    found = departures(as_run, made(settings=now))
    write_record(tmp_path / "p.json", made(settings=WIDE), "ab" * 32, found, n_lowered)
    return read_json(tmp_path / "p.json")


def test_what_only_a_preview_lowers_is_no_departure_and_is_told(tmp_path):
    found = run_as_preview(tmp_path)
    Draft202012Validator(yaml.safe_load(SCHEMA)).validate(found)
    assert (found["state"], found["departures"], found["lowered_by_preview"]) == ("kept", [], 3)
    assert short(found).endswith(": kept; a preview, 3 settings lower")
    assert "It is a preview, 3 settings lower; that is counted as no departure" in standing(found)


def test_what_a_preview_does_not_lower_is_a_departure_still(tmp_path):
    found = run_as_preview(tmp_path, replicates=5, seed=8)["departures"]
    assert [(one["what"], one["frozen"], one["now"]) for one in found] == [
        ("bootstrap.replicates", 9, 5),
        ("seed", 7, 8),
    ]
