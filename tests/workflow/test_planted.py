"""How much of the structure planted in the invented sorts is found again."""

import csv

import numpy as np
import pytest
from felloe.ground.groups.agreement import adjusted_rand
from workflow.conftest import ROOT

# The generator lets participants move terms at random, plants terms between two classes and lets
# the makers place some of them otherwise, so that no method can find all of it. Below 0.8 (classes)
# more than about one term in ten would sit in another class than planted; the subclasses are
# planted for the half of the people who divide finely, and the number found is not fixed.
FLOORS = {"class": 0.80, "subclass": 0.60}


def table(path):
    with open(path, encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


@pytest.mark.parametrize("tier", FLOORS)
@pytest.mark.parametrize("study", ["brine-2016", "brine-2026"])
def test_the_planted_tiers_are_found_again(demo, study, tier):
    planted = {row["term"]: row for row in table(ROOT / f"demo_data/{study}.planted.csv")}
    found = [
        row for row in table(demo / study / "tiers/data_only.csv") if planted[row["term"]][tier]
    ]
    index = adjusted_rand(
        np.array([row[tier] for row in found]),
        np.array([planted[row["term"]][tier] for row in found]),
    )
    assert index > FLOORS[tier]


@pytest.mark.parametrize("study", ["brine-2016", "brine-2026"])
def test_terms_planted_nowhere_are_not_firm(demo, study):
    planted = {row["term"]: row for row in table(ROOT / f"demo_data/{study}.planted.csv")}
    nowhere = [term for term, row in planted.items() if not row["class"]]
    status = {row["term"]: row["status"] for row in table(demo / study / "tiers/data_only.csv")}
    assert nowhere
    assert all(status[term] != "firm" for term in nowhere)


@pytest.mark.parametrize("study", ["brine-2016", "brine-2026"])
def test_shares_of_universes_recompute_from_their_table(demo, study):
    universes = table(demo / study / "sensitivity/universes.csv")
    for row in table(demo / study / "sensitivity/terms.csv"):
        away = sum(row["term"] in one["terms_changing"].split(";") for one in universes)
        assert float(row["share_of_universes"]) == pytest.approx(1 - away / len(universes))
    (own,) = [one for one in universes if one["is_chart"] == "yes"]
    assert own["screening"] == "as_configured"
