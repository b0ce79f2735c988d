"""Facts of the invented study that is sorted in parts: what demo_data/README.md says of it."""

import csv
import io
import shutil
from collections import Counter

import pytest
import yaml
from demo_tables import DEMO, read, terms_of
from felloe.launching.plan_study.command import main

STUDY = "pantry-2026"
SETTINGS = DEMO.parent / "config" / "in_parts.yaml"


@pytest.fixture(scope="module")
def shown():
    """Return the terms that each person was shown, by place."""
    found = {row["participant"]: {} for row in read(f"{STUDY}/participants.csv")}
    for row in read(f"{STUDY}/design.csv"):
        assert int(row["position"]) not in found[row["participant"]]
        found[row["participant"]][int(row["position"])] = row["term"]
    return found


@pytest.fixture(scope="module")
def sorts():
    """Return the filled cells of each person's sort."""
    rows = read(f"{STUDY}/sorts.csv")
    return {
        row["participant"]: {term: pile for term, pile in row.items() if pile and term in terms}
        for terms in [terms_of(STUDY)]
        for row in rows
    }


def test_terms_and_participants_are_as_many_as_stated():
    assert len(terms_of(STUDY)) == 240
    people = Counter(row["population"] for row in read(f"{STUDY}/participants.csv"))
    assert people == {"panel": 48, "makers": 96}
    text = (DEMO / STUDY / "study.yaml").read_text(encoding="utf-8")
    assert "nvented" in text.splitlines()[0]
    described = yaml.safe_load(text)
    assert set(described["populations"]) == set(people)
    assert "invented data" in described["title"]


def test_every_term_is_a_thing_in_one_of_eight_ways():
    things = [row["thing"] for row in csv.DictReader(io.StringIO(source()))]
    ways, named = zip(*(term.split("-") for term in terms_of(STUDY)), strict=True)
    assert len(set(ways)) == 8
    assert Counter(named) == dict.fromkeys(things, 8)


def source():
    return (DEMO / "sources" / "pantry.csv").read_text(encoding="utf-8")


def test_ten_classes_of_three_subclasses_are_planted_and_two_terms_nowhere():
    planted = read(f"{STUDY}.planted.csv")
    assert [row["term"] for row in planted] == sorted(terms_of(STUDY))
    assert [row["term"] for row in planted if not row["class"]] == ["cool-quince", "warm-nettle"]
    homes = Counter((row["class"], row["subclass"]) for row in planted if row["class"])
    assert Counter(homes.values()) == {8: 28, 7: 2}
    assert set(Counter(name for name, _ in homes).values()) == {3}
    assert (len(homes), len({name for name, _ in homes})) == (30, 10)


def test_everybody_was_shown_sixty_terms_in_an_order_of_their_own(shown):
    assert all(sorted(own) == list(range(1, 61)) for own in shown.values())
    assert all(len(set(own.values())) == 60 for own in shown.values())
    assert all(set(own.values()) <= set(terms_of(STUDY)) for own in shown.values())
    assert len({tuple(own[at] for at in sorted(own)) for own in shown.values()}) == len(shown)


def test_everybody_sorted_what_they_were_shown_and_one_left_six_terms_aside(shown, sorts):
    missing = {person: set(own.values()) - set(sorts[person]) for person, own in shown.items()}
    assert all(set(sorts[person]) <= set(own.values()) for person, own in shown.items())
    assert sorted(map(len, missing.values())) == [0] * 143 + [6]


def test_one_maker_piled_in_the_order_shown(shown, sorts):
    makers = {
        row["participant"]
        for row in read(f"{STUDY}/participants.csv")
        if row["population"] == "makers"
    }
    followed = []
    for person, own in shown.items():
        piles = [int(sorts[person].get(own[at], 0)) for at in sorted(own)]
        followed += [person] if piles == sorted(piles) and 0 not in piles else []
    assert len(followed) == 1
    assert set(followed) <= makers


def test_the_design_is_one_that_plan_has_nothing_to_add_to(tmp_path, monkeypatch):
    shutil.copytree(DEMO / STUDY, tmp_path / "demo_data" / STUDY)
    monkeypatch.chdir(tmp_path)
    assert main([STUDY, "--write-design", "--configfile", str(SETTINGS)]) == 0
    for path in (DEMO / STUDY).iterdir():
        assert (tmp_path / "demo_data" / STUDY / path.name).read_bytes() == path.read_bytes()
