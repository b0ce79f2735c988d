"""What is frozen before the data, and every kind of departure from it."""

import copy
import hashlib
import json
import subprocess
from pathlib import Path

import pytest
import yaml
from felloe.validation.protocol import SINCE, departures, previewed, settings_that_matter
from felloe.validation.protocol_record import (
    protocol_bytes,
    protocol_faults,
    read_protocol,
    write_protocol,
)
from protocol_example import ABOUT, ELM, SETTINGS, TERMS, made, with_setting

ROOT = Path(__file__).parents[3]
# written by hand from the description of the form: keys sorted, two blanks, one line end
BY_HAND = """{
  "data_seen": false,
  "edition": "2031",
  "felloe": "1.2",
  "format": "felloe-protocol/1",
  "instruction": "Put like together.",
  "populations": [
    {
      "id": "panel",
      "label": "Panel"
    },
    {
      "id": "makers",
      "label": "Makers"
    }
  ],
  "settings": {
    "bootstrap": {
      "replicates": 100
    },
    "comparison": {
      "margins": {
        "alpha": 0.05
      }
    },
    "older_editions": [
      "before"
    ],
    "preview": false,
    "seed": 7,
    "tiers": {
      "classes_range": [
        6,
        12
      ]
    }
  },
  "study": "guild",
  "terms": {
    "ash": {
      "label": "Ash\u00e9",
      "width": 1.5
    },
    "oak": {
      "definition": "A tree.",
      "label": "Oak"
    }
  },
  "title": "Words"
}
"""


def test_a_protocol_has_one_form():
    assert protocol_bytes(made()) == BY_HAND.encode()


def test_the_order_of_settings_and_terms_changes_no_byte():
    turned = made(terms=TERMS[::-1], settings=dict(reversed(SETTINGS.items())))
    assert protocol_bytes(turned) == BY_HAND.encode()


def test_the_hash_is_what_the_systems_own_tool_says_of_the_file(tmp_path):
    path = tmp_path / "protocol.json"
    sha256 = write_protocol(path, made())
    told = subprocess.run(["sha256sum", path], capture_output=True, text=True, check=True)
    assert told.stdout.split()[0] == sha256 == read_protocol(path)[1]
    assert sha256 not in path.read_text(encoding="utf-8")


def test_a_run_as_frozen_departs_in_nothing():
    assert departures(json.loads(BY_HAND), made()) == []


@pytest.mark.parametrize(
    "settings",
    [
        with_setting("studies", {"guild": "elsewhere"}),
        with_setting("bootstrap.parts", 9),
        with_setting("quick", {}),
        with_setting("editions", [["before", "guild"]]),
    ],
    ids=["folder", "parts", "quick", "a later edition"],
)
def test_what_changes_no_result_is_no_departure(settings):
    assert departures(made(), made(settings=settings)) == []


CHANGES = {
    "version": ({"version": "1.3"}, [("felloe", "1.2", "1.3")]),
    "title": ({"about": {**ABOUT, "title": "W"}}, [("title", "Words", "W")]),
    "edition": ({"about": {**ABOUT, "edition": 2032}}, [("edition", "2031", "2032")]),
    "instruction": (
        {"about": {**ABOUT, "instruction": "Sort."}},
        [("instruction", "Put like together.", "Sort.")],
    ),
    "population called otherwise": (
        {"about": {**ABOUT, "populations": {"panel": "P", "makers": "Makers"}}},
        [("populations.panel", "Panel", "P")],
    ),
    "population more": (
        {"about": {**ABOUT, "populations": {**ABOUT["populations"], "guests": "Guests"}}},
        [("populations.guests", None, "Guests")],
    ),
    "population less": (
        {"about": {**ABOUT, "populations": {"panel": "Panel"}}},
        [("populations.makers", "Makers", None)],
    ),
    "populations in another order": (
        {"about": {**ABOUT, "populations": dict(reversed(ABOUT["populations"].items()))}},
        [("populations", ["panel", "makers"], ["makers", "panel"])],
    ),
    "term more": ({"terms": [*TERMS, ELM]}, [("terms.elm", None, {"label": "Elm"})]),
    "term less": (
        {"terms": TERMS[1:]},
        [("terms.oak", {"definition": "A tree.", "label": "Oak"}, None)],
    ),
    "term defined otherwise": (
        {"terms": [{**TERMS[0], "definition": ""}, TERMS[1]]},
        [("terms.oak.definition", "A tree.", None)],
    ),
    "margin": (
        {"settings": with_setting("comparison.margins.alpha", 0.1)},
        [("comparison.margins.alpha", 0.05, 0.1)],
    ),
    "range": (
        {"settings": with_setting("tiers.classes_range", [6, 14])},
        [("tiers.classes_range", [6, 12], [6, 14])],
    ),
    "seed": ({"settings": with_setting("seed", 8)}, [("seed", 7, 8)]),
    "preview": ({"settings": with_setting("preview", True)}, [("preview", False, True)]),
    "older edition": (
        {"settings": with_setting("editions", [])},
        [("older_editions", ["before"], [])],
    ),
    "several": (
        {"settings": with_setting("seed", 8), "version": "2"},
        [("felloe", "1.2", "2"), ("seed", 7, 8)],
    ),
}


@pytest.mark.parametrize("kind", CHANGES)
def test_every_kind_of_departure_is_listed_with_what_was_frozen_and_what_is_now(kind):
    changed, expected = CHANGES[kind]
    found = departures(made(), made(**changed))
    assert [(each.what, each.frozen, each.now) for each in found] == expected


def test_another_name_of_the_study_is_a_departure_since_draws_are_keyed_by_it():
    settings = with_setting("editions", [["before", "crew"]])
    found = departures(made(), made(study="crew", settings=settings))
    assert [(each.what, each.frozen, each.now) for each in found] == [("study", "guild", "crew")]


def test_a_setting_that_the_frozen_version_did_not_know_is_listed():
    (found,) = departures(made(), made(settings={**SETTINGS, "novel": {"deep": 1}}))
    assert (found.what, found.frozen, found.now) == ("novel", None, {"deep": 1})


def test_a_later_setting_left_as_it_was_meant_is_no_departure_from_an_older_protocol():
    older = {**SETTINGS, "comparison": {"splits": 500}}
    for value, told in ((1000, []), (500, [("comparison.people_at_most", None, 500)])):
        now = {**SETTINGS, "comparison": {"splits": 500, "people_at_most": value}}
        found = departures(made(settings=older), made(settings=now))
        assert [(one.what, one.frozen, one.now) for one in found] == told


@pytest.mark.parametrize(
    ("asked", "told"), [(False, []), (True, [("figures", None, {"pdf": True})])]
)
def test_a_block_that_came_later_is_no_departure_as_it_was_meant(asked, told):
    found = departures(made(), made(settings={**SETTINGS, "figures": {"pdf": asked}}))
    assert [(one.what, one.frozen, one.now) for one in found] == told


def test_later_settings_are_told_at_their_defaults():
    defaults = yaml.safe_load((ROOT / "config" / "config.yaml").read_text("utf-8"))
    for block, later in SINCE.items():
        assert later == {name: defaults[block][name] for name in later}


def test_settings_that_matter_leave_what_they_are_given_as_it_is():
    before = copy.deepcopy(SETTINGS)
    settings_that_matter(SETTINGS)["seed"] = 0
    assert before == SETTINGS


def fault_of(tmp_path, data):
    (tmp_path / "protocol.json").write_bytes(data)
    return protocol_faults(tmp_path / "protocol.json")


def test_a_protocol_as_frozen_has_no_fault(tmp_path):
    assert fault_of(tmp_path, BY_HAND.encode()) == []


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (BY_HAND.replace("\n", "\r\n").encode(), "somebody changed it"),
        (BY_HAND.replace("  ", "    ").encode(), "somebody changed it"),
        (BY_HAND.replace('"title": "Words"', '"title": "Words",\n  "x": 1').encode(), "changed"),
        (BY_HAND.replace('"data_seen": false', '"data_seen": null').encode(), "changed it"),
        (b"[]\n", "is no protocol of the form"),
        (b'{"\xff": 1}', "is no JSON in UTF-8"),
        (b"[" * 100_000, "is no JSON"),
        (b"1" * 10_000, "is no JSON"),
    ],
    ids=["line ends", "indents", "key", "type", "list", "encoding", "depth", "digits"],
)
def test_a_protocol_that_was_touched_is_refused(tmp_path, data, words):
    (fault,) = fault_of(tmp_path, data)
    assert words in fault.problem
    assert fault.remedy


def test_a_protocol_that_is_no_json_is_named_with_its_line_and_column(tmp_path):
    (fault,) = fault_of(tmp_path, b'{\n  "data_seen": no\n}\n')
    assert (fault.line, fault.column) == (2, "character 16")


def test_an_edit_that_keeps_the_form_gives_another_hash(tmp_path):
    data = BY_HAND.replace("0.05", "0.06").encode()
    assert fault_of(tmp_path, data) == []
    sha256 = read_protocol(tmp_path / "protocol.json")[1]
    assert sha256 == hashlib.sha256(data).hexdigest()
    assert sha256 != hashlib.sha256(BY_HAND.encode()).hexdigest()


def test_a_run_that_is_no_preview_is_held_against_every_number():
    assert previewed(made(), SETTINGS) == (made(), 0)
    assert departures(made(), made(settings=with_setting("bootstrap.replicates", 9)))


@pytest.mark.parametrize("shown", [True, False])
def test_definitions_that_people_are_shown_are_part_of_a_protocol(shown):
    settings = {"seed": 1, "kit": {"definitions": shown, "colours_per_person": 9}}
    expected = {"seed": 1, "kit": {"definitions": True}} if shown else {"seed": 1}
    assert settings_that_matter(settings) == expected
