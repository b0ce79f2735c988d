"""What the calibration of the plan keeps of a study."""

import numpy as np
import pytest
from calibration import run_planning
from calibration.cases import Case, invent
from calibration.makes import MAKES
from calibration.run_planning import looked_at, redrawn_study, rows, simulate
from felloe.comparison.more_people import planning

CASE = Case("alike, 10 v 10", (10, 10))


@pytest.fixture(scope="module")
def kept():
    with pytest.MonkeyPatch.context() as fewer:
        fewer.setattr(planning, "REPLICATES", 40)
        fewer.setattr(run_planning, "FOLLOWED", 2)
        return [simulate(("attributes", CASE, 1, "code")) for _ in range(2)]


def test_a_study_is_the_same_whenever_it_is_asked(kept):
    assert kept[0] == kept[1]


def test_a_plan_is_followed_by_fresh_people_and_by_todays_with_more(kept):
    found = kept[0]["ways"]["library"]
    assert found["more"] >= 1
    for name in ("fresh", "joined"):
        assert found[name] in (0.0, 0.5, 1.0)


def test_copies_of_people_make_a_study_look_more_reliable_than_it_is():
    rng = np.random.default_rng(2)
    seen = looked_at(*invent(MAKES["attributes"], CASE, rng).people(rng, (10, 10)), rng)
    redrawn = [redrawn_study(seen, (10, 10), rng).reliabilities for _ in range(50)]
    assert np.mean(redrawn) > np.mean(seen.study.reliabilities) + 0.05


def test_the_table_counts_studies_by_hand(kept, monkeypatch):
    monkeypatch.setattr(run_planning, "WAYS", {"library": "as the dossier"})
    way = {"more": 4, "large": False, "fresh": 0.6, "joined": 1.0}
    found = [
        {"make": "places", "case": CASE.name, "question": question, "ways": ways}
        for question, ways in (
            (None, {}),
            ("shortfall", {}),
            ("agreement", {"library": way}),
            ("agreement", {"library": {**way, "more": 8, "fresh": 0.8}}),
            ("agreement", {"library": {"more": None, "large": False}}),
        )
    ]
    assert list(rows(found, ["places"])) == [
        "| places | alike, 10 v 10 | as the dossier | 4 of 5 | 1 | 1 | 0 | 6 | "
        "0.70 (0.10) of 2 | 1.00 (0.00) of 2 |"
    ]
