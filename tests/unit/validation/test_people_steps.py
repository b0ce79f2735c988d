"""The steps from a study's folder to its figures about people, on a small study."""

import re

import pandas as pd
import pytest
from draw_people import main as draw_people
from felloe.ground.records import read_json
from felloe.ground.tables import read_table
from felloe.validation.tables import EXCLUSIONS, FINDINGS, FLOW, PICKS, TABLES, read_analysed
from measure_stability import main as measure_stability
from screen_participants import main as screen_participants
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

STABILITY = {"halves": 200, "curve_repeats": 10, "curve_steps": 3, "target": 0.95}
TIERS = ["auto", [2, 4], 5, [4, 6]]
FIGURES = [
    f"{name}_{kind}" for name in ("stability", "granularity") for kind in ("svg", "pdf", "png")
]


def run_steps(folder, careless="p8"):
    """Run the steps on the small study and one more participant, who made one pile."""
    rows = [*long_rows(), *([careless, term, "1", ""] for term in TERMS)]
    people = [*tables()["participants.csv"], [careless, "panel", "3"]]
    write_folder(folder / "study", {"sorts.csv": rows, "participants.csv": people})
    out = {key: str(folder / name) for key, name in CANONICAL.items()}
    limits = {"limits": SETTINGS["intake"]}
    validate_sorts(folder=str(folder / "study"), faults=str(folder / "faults.csv"), **limits, **out)
    made = {
        name: str(folder / f"{name}.csv")
        for name in ("participants", "analysed", "granularity", "flow", "exclusions")
    }
    given = {key: out[key] for key in ("sorts", "register", "terms")}
    screen_participants(**given, rules=SETTINGS["screening"], **limits, **made)
    measured = {"table": str(folder / "stability.csv"), "record": str(folder / "stability.json")}
    keyed = {"study": "small", "seed": 1, "settings": STABILITY, "tiers": TIERS}
    measure_stability(sorts=made["analysed"], about=out["settings"], **keyed, **measured)
    figures = {key: str(folder / key.replace("_", ".")) for key in FIGURES}
    given = {"participants": made["participants"], "terms": out["terms"], "about": out["settings"]}
    draw_people(**given, **measured, **figures)
    return folder


@pytest.fixture(scope="module")
def results(tmp_path_factory):
    return run_steps(tmp_path_factory.mktemp("first"))


def test_the_kept_are_analysed_and_the_careless_are_not(results):
    sorts = read_analysed(results / "analysed.csv")
    assert sorts.participants == tuple(PEOPLE)
    assert sorts.populations == tuple(PEOPLE.values())


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
    columns = list(read_table(results / "participants.csv")[0])
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
    assert naming == personal - {"validation/colours.csv", "validation/findings.csv"}


WRITTEN = (
    "findings participants flow exclusions terms register names decisions colours sorts analysed "
    "granularity stability"
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
            assert found.to_list() == pytest.approx(expected.to_list(), abs=1e-12)


def test_stability_is_told_for_every_population_and_all(results):
    record = read_json(results / "stability.json")
    assert [plan["population"] for plan in record["plans"]] == ["makers", "panel", "pooled"]
    # six terms carry 2 or 3 classes of the range 2 to 4; the middle, rounded down, is 2
    assert record["cuts"] == {"linkage": "average", "classes": 2, "subclasses": 5}


def test_every_spread_of_halves_has_two_hundred_repeats(results):
    rows = read_table(results / "stability.csv")
    halves = [row for row in rows if row["quantity"] == "split_half_correlation"]
    assert [row["repeats"] for row in halves] == ["200"] * 3


def test_another_folder_gives_the_same_bytes(results, tmp_path):
    again = run_steps(tmp_path)
    names = sorted(path.name for path in results.iterdir() if path.is_file())
    assert len(names) == 8 + 5 + 2 + 6
    for name in names:
        assert (results / name).read_bytes() == (again / name).read_bytes(), name
