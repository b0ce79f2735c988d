"""What is frozen before the data, and every kind of departure from it."""

import copy
import hashlib
import json
import subprocess
from pathlib import Path

import pytest
import yaml
from felloe.ground.files.records import read_json
from felloe.validation.protocol import (
    SINCE,
    departures,
    previewed,
    protocol_of,
    settings_that_matter,
)
from felloe.validation.protocol_record import (
    protocol_bytes,
    protocol_faults,
    read_protocol,
    write_protocol,
    write_record,
)
from felloe.validation.protocol_words import margins, rows, short, standing
from jsonschema import Draft202012Validator

SCHEMA = (
    Path(__file__).parents[3] / "workflow/schemas/records/validation.protocol.schema.yaml"
).read_text(encoding="utf-8")
ROOT = Path(__file__).parents[3]
ABOUT = {
    "title": "Words",
    "edition": "2031",
    "instruction": "Put like together.",
    "populations": {"panel": "Panel", "makers": "Makers"},
}
TERMS = [
    {"term": "oak", "label": "Oak", "definition": "A tree.", "width": float("nan")},
    {"term": "ash", "label": "Ash\u00e9", "definition": "", "width": 1.5},
]
SETTINGS = {
    "seed": 7,
    "studies": {"guild": "here/guild"},
    "editions": [["before", "guild", "after"]],
    "comparison": {"margins": {"alpha": 0.05}},
    "tiers": {"classes_range": [6, 12]},
    "bootstrap": {"replicates": 100, "parts": 2},
    "preview": False,
    "quick": {"bootstrap": {"replicates": 9}},
}
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


def made(about=ABOUT, terms=TERMS, settings=SETTINGS, study="guild", version="1.2"):
    return protocol_of(study, about, terms, settings, version)


def with_setting(key, value):
    settings = copy.deepcopy(SETTINGS)
    *above, last = key.split(".")
    found = settings
    for part in above:
        found = found[part]
    found[last] = value
    return settings


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


ELM = {"term": "elm", "label": "Elm", "definition": ""}
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


def test_a_run_that_is_no_preview_is_held_against_every_number():
    assert previewed(made(), SETTINGS) == (made(), 0)
    assert departures(made(), made(settings=with_setting("bootstrap.replicates", 9)))


@pytest.mark.parametrize("shown", [True, False])
def test_definitions_that_people_are_shown_are_part_of_a_protocol(shown):
    settings = {"seed": 1, "kit": {"definitions": shown, "colours_per_person": 9}}
    expected = {"seed": 1, "kit": {"definitions": True}} if shown else {"seed": 1}
    assert settings_that_matter(settings) == expected
