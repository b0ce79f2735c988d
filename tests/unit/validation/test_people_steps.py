"""The steps from a study's folder to its figures about people, on a small study."""

import json
import re
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
import yaml
from felloe.ground.files.records import read_json
from felloe.validation.analysed import read_analysed
from felloe.validation.steps.draw_people import main as draw_people
from felloe.validation.steps.measure_stability import main as measure_stability
from felloe.validation.steps.screen_participants import main as screen_participants
from felloe.validation.tables import (
    EXCLUSIONS,
    FINDINGS,
    FLOW,
    PARTICIPANTS,
    PICKS,
    STABILITY,
    TABLES,
)
from jsonschema import Draft202012Validator
from study_folder import (
    CANONICAL,
    PEOPLE,
    SETTINGS,
    TERMS,
    long_rows,
    pile_of,
    tables,
    write_folder,
)
from validate_sorts import main as validate_sorts
from write_design import main as write_design

SCHEMAS = Path(__file__).parents[3] / "workflow" / "schemas" / "records"
PARTS = {"halves": 200, "curve_repeats": 10, "curve_steps": 3, "target": 0.95}
TIERS = {"classes": "auto", "classes_range": [2, 4], "subclasses": 5, "subclasses_range": [4, 6]}
FEW = {"smallest_cell": 2}  # the small study has four people of each kind
FIGURES = ("stability", "granularity")


def run_steps(folder, careless="p8"):
    """Run the steps on the small study and one more participant, who made one pile."""
    rows = [*long_rows(), *([careless, term, "1", ""] for term in TERMS)]
    people = [*tables()["participants.csv"], [careless, "panel", "3"]]
    labels = [["id", "tier", "language", "label"], ["dill", "term", "de", "Dill"]]
    words = [["participant", "pile", "words"], [careless, "1", "all of it"]]
    changed = {"sorts.csv": rows, "participants.csv": people, "labels.csv": labels}
    changed["pile_words.csv"] = words
    header = ["older", "newer", "relation", "reason"]
    changed["crosswalk.csv"] = [header, ["ash;tar", "smoke", "merged", "nobody told them apart"]]
    write_folder(folder / "study", changed)
    out = {key: str(folder / name) for key, name in CANONICAL.items()}
    limits = {"limits": SETTINGS["intake"]}
    validate_sorts(source=str(folder / "study"), faults=str(folder / "faults.csv"), **limits, **out)
    write_design(sorts=out["sorts"], design=str(folder / "design.csv"))
    made = {
        name: str(folder / f"{name}.csv")
        for name in ("participants", "analysed", "granularity", "flow", "exclusions")
    }
    given = {key: out[key] for key in ("sorts", "register", "terms")}
    screen_participants(**given, rules=SETTINGS["screening"], **limits, **FEW, **made)
    measured = {"table": str(folder / "stability.csv"), "record": str(folder / "stability.json")}
    keyed = {"study": "small", "seed": 1, "settings": PARTS, "tiers": TIERS, "linkage": "average"}
    measure_stability(sorts=made["analysed"], **keyed, **measured)
    figures = {
        f"{name}_figure": [str(folder / f"{name}.{kind}") for kind in ("svg", "pdf", "png")]
        for name in FIGURES
    }
    given = {"participants": made["participants"], "terms": out["terms"], "about": out["settings"]}
    draw_people(**given, **measured, **FEW, **figures)
    return folder


@pytest.fixture(scope="module")
def results(tmp_path_factory):
    return run_steps(tmp_path_factory.mktemp("first"))


def test_the_kept_are_analysed_and_the_careless_are_not(results):
    sorts = read_analysed(results / "analysed.csv")
    assert dict(zip(sorts.participants, sorts.populations, strict=True)) == PEOPLE


def test_what_is_analysed_is_what_was_handed_in(results):
    sorts = read_analysed(results / "analysed.csv")
    for person, row in zip(sorts.participants, sorts.piles.tolist(), strict=True):
        handed_in = [pile_of(person, term) for term in sorts.terms]
        renumbered = list(dict.fromkeys(handed_in))
        assert row == [renumbered.index(pile) + 1 for pile in handed_in]


def test_the_participants_table_has_the_promised_columns_in_order(results):
    promised = (
        "participant population n_piles n_single_piles largest_pile_share pairs_together_share "
        "n_unplaced order_following order_following_p agreement_with_others status reason"
    ).split()
    columns = list(PARTICIPANTS.read(results / "participants.csv")[0])
    assert [column for column in columns if column in promised] == promised


def test_the_account_says_how_many_were_lost(results):
    account = FLOW.read(results / "flow.csv")
    assert [(row["population"], row["stage"], row["n"]) for row in account] == [
        ("makers", "received", 4),
        ("makers", "valid", 4),
        ("makers", "analysed", 4),
        ("panel", "received", 5),
        ("panel", "valid", 5),
        ("panel", "analysed", 4),
    ]


def test_why_they_were_lost_is_counted(results):
    lost = {"population": "panel", "stage": "analysed", "rules": ("all_in_one",), "n": 1}
    assert EXCLUSIONS.read(results / "exclusions.csv") == [lost]


def test_only_personal_tables_name_a_participant(results):
    ids = {*PEOPLE, "p8"}
    naming = set()
    for path in results.glob("*.csv"):
        rows = [re.split(r"[^\w-]+", line) for line in path.read_text("utf-8").splitlines()]
        if any(ids & set(words) for words in rows):
            naming.add(f"validation/{path.name}")
    personal = {table.path for table in TABLES if table.personal}
    without = {"validation/colours.csv", "validation/findings.csv"}
    assert naming == personal - without


WRITTEN = (
    "findings participants flow exclusions terms sectors register names decisions colours sorts "
    "pile_words labels crosswalk design analysed granularity stability"
).split()


def test_every_table_of_validation_is_tested():
    assert {f"validation/{name}.csv" for name in WRITTEN} == {table.path for table in TABLES}


@pytest.mark.parametrize("name", WRITTEN)
def test_what_was_read_by_its_declaration_is_written_as_the_same_bytes(results, tmp_path, name):
    table = next(table for table in TABLES if table.fits(f"validation/{name}.csv"))
    rows = table.read(results / f"{name}.csv")
    table.write(tmp_path / "again.csv", rows, [one for one in rows[0] if one not in table.names])
    assert (tmp_path / "again.csv").read_bytes() == (results / f"{name}.csv").read_bytes()


def test_what_people_picked_is_personal():
    assert PICKS.personal


def test_what_was_noted_about_people_is_personal():
    assert FINDINGS.personal


def test_the_granularity_table_equals_what_pandas_gives(results):
    people = pd.read_csv(results / "participants.csv")
    people = people[people["status"] == "kept"]
    table = pd.read_csv(results / "granularity.csv").set_index(["population", "measure"])
    groups = [(name, people[people["population"] == name]) for name in ("makers", "panel")]
    for name, members in [*groups, ("pooled", people)]:
        for measure in ("n_piles", "n_single_piles", "largest_pile_share", "pairs_together_share"):
            found, expected = table.loc[(name, measure)], members[measure].describe()
            expected = expected.drop(["min", "max"])  # each is somebody's own
            if name != "pooled":  # of four people one lies beyond either quartile
                expected[["25%", "75%"]] = np.nan
            same = pytest.approx(expected.to_list(), abs=1e-12, nan_ok=True)
            assert found.to_list() == same


@pytest.mark.parametrize("name", ["study", "stability"])
def test_a_record_is_as_its_schema_says(results, name):
    path = SCHEMAS / f"validation.{name}.schema.yaml"
    schema = yaml.safe_load(path.read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(schema)
    Draft202012Validator(schema).validate(read_json(results / f"{name}.json"))


def test_no_record_of_a_computing_step_holds_a_sentence(results):
    texts = []
    json.loads(
        (results / "stability.json").read_bytes(), object_hook=lambda o: texts.extend(o.values())
    )
    assert [text for text in texts if isinstance(text, str) and " " in text] == []


def test_stability_is_told_for_every_population_and_all(results):
    record = read_json(results / "stability.json")
    assert [plan["population"] for plan in record["plans"]] == ["makers", "panel", "pooled"]
    # six terms carry 2 or 3 classes of the range 2 to 4; the middle, rounded down, is 2
    assert record["cuts"] == {"linkage": "average", "classes": 2, "subclasses": 5}


def test_every_spread_of_halves_has_two_hundred_repeats(results):
    rows = STABILITY.read(results / "stability.csv")
    halves = [row for row in rows if row["quantity"] == "split_half_correlation"]
    assert [row["repeats"] for row in halves] == [200] * 3


def test_another_folder_gives_the_same_bytes(results, tmp_path):
    again = run_steps(tmp_path)
    names = sorted(path.name for path in results.iterdir() if path.is_file())
    assert len(names) == 12 + 1 + 5 + 2 + 6
    for name in names:
        assert (results / name).read_bytes() == (again / name).read_bytes(), name
