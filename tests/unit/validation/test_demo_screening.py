"""The demo studies through intake and screening: what their README says was planted is found."""

import re
from collections import Counter
from dataclasses import replace

import pytest
from demo_tables import DEMO
from felloe.errors import StudyError
from felloe.validation.intake.study import read_study
from felloe.validation.received import read_received
from felloe.validation.screened.screening import exclusions, flow, screened
from study_folder import LIMITS, RULES, canonical


@pytest.fixture(params=["brine-2016", "brine-2026"])
def people(request, tmp_path):
    study = read_study(DEMO / request.param, LIMITS)
    canonical(DEMO / request.param, tmp_path)
    received = read_received(tmp_path / "sorts.csv", tmp_path / "register.csv")
    return request.param, screened(received, [row["label"] for row in study.terms], RULES)


def test_the_careless_and_the_one_sent_twice_are_left_out_and_nobody_else(people):
    # demo_data/README.md, "Careless participants" and "One submission twice"
    name, rows = people
    reasons = Counter(row["reason"].split(" as ")[0] for row in rows if row["status"] == "excluded")
    expected = {
        "brine-2016": {"piles follow the order of presentation": 1},
        "brine-2026": {
            "all terms in one pile": 1,
            "every term apart": 1,
            "piles follow the order of presentation": 1,
            "the same submission": 1,
        },
    }
    assert reasons == expected[name]


def test_the_incomplete_stay_in(people):
    # demo_data/README.md, "Incomplete sorts": 2026: 6 % and 11 % of 96 terms; 2016: 8 % of 72
    name, rows = people
    incomplete = sorted(row["n_unplaced"] for row in rows if row["n_unplaced"])
    assert incomplete == {"brine-2016": [6], "brine-2026": [6, 11]}[name]
    assert all(row["status"] == "kept" for row in rows if row["n_unplaced"])


def test_everybody_of_the_demo_is_accounted_for(people):
    _, rows = people
    account = flow(rows)
    assert sum(row["n"] for row in account if row["stage"] == "received") == len(rows)
    assert sum(row["n"] for row in account if row["stage"] == "analysed") == sum(
        row["status"] == "kept" for row in rows
    )
    for received, valid, analysed in zip(account[::3], account[1::3], account[2::3], strict=True):
        assert received["n"] == valid["n"] + valid["lost"]
        assert valid["n"] == analysed["n"] + analysed["lost"]


def test_everybody_who_was_lost_is_counted_once_with_the_reasons(people):
    _, rows = people
    lost = {(row["population"], row["stage"]): row["lost"] for row in flow(rows) if row["lost"]}
    counted = Counter()
    for row in exclusions(rows):
        counted[row["population"], row["stage"]] += row["n"]
    assert counted == lost


def test_the_demo_has_no_warning():
    for name in ("brine-2016", "brine-2026"):
        findings = read_study(DEMO / name, LIMITS).findings
        assert [note for note in findings if note.severity == "warning"] == []


@pytest.mark.parametrize("name", ["brine-2016", "brine-2026"])
def test_no_finding_of_the_demo_names_a_participant_in_words(name):
    study = read_study(DEMO / name, LIMITS)
    words = {word for note in study.findings for word in re.split(r"[^\w-]+", note.problem)}
    assert not words & set(study.register.participants)


def test_screening_may_not_leave_a_population_empty(tmp_path):
    with pytest.raises(StudyError, match="at least 30 are needed"):
        read_study(DEMO / "brine-2026", replace(LIMITS, minimum_participants=30))
