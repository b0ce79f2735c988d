"""Facts of the invented demo studies: they are what demo_data/README.md says they are.

The counts are the design of the demo studies.
"""

import re
import subprocess
import sys
from collections import Counter

import pytest
import yaml
from demo_tables import DEMO, STUDIES, planted_classes, read, terms_of

IDENTIFIER = re.compile(r"[a-z0-9][a-z0-9_-]*")


@pytest.fixture(scope="module")
def rewritten(tmp_path_factory):
    folder = tmp_path_factory.mktemp("demo")
    subprocess.run([sys.executable, "-B", str(DEMO / "make_demo.py"), str(folder)], check=True)
    return folder


def test_the_generator_writes_the_committed_bytes(rewritten):
    written = {path.relative_to(rewritten) for path in rewritten.rglob("*") if path.is_file()}
    differing = [
        str(path)
        for path in written
        if (rewritten / path).read_bytes() != (DEMO / path).read_bytes()
    ]
    assert not differing
    committed = {
        path.relative_to(DEMO)
        for pattern in ("*.csv", "*-20*/*")
        for path in DEMO.glob(pattern)
        if path.is_file()
    }
    assert written == committed


@pytest.mark.parametrize(
    ("study", "n_terms", "populations"),
    [
        ("brine-2006", 67, {"judges": 15, "makers": 28}),
        ("brine-2016", 72, {"judges": 17, "makers": 35}),
        ("brine-2026", 96, {"panel": 22, "makers": 52}),
    ],
)
def test_terms_and_participants_are_as_many_as_stated(study, n_terms, populations):
    assert len(terms_of(study)) == n_terms
    people = Counter(row["population"] for row in read(f"{study}/participants.csv"))
    assert people == populations
    described = yaml.safe_load((DEMO / study / "study.yaml").read_text(encoding="utf-8"))
    assert set(described["populations"]) == set(populations)


@pytest.mark.parametrize("study", STUDIES)
def test_every_participant_meets_every_term_once_and_in_an_order_of_their_own(study):
    people = [row["participant"] for row in read(f"{study}/participants.csv")]
    assert len(people) == len(set(people))
    seen = {person: [] for person in people}
    positions = {person: [] for person in people}
    for row in read(f"{study}/sorts.csv"):
        seen[row["participant"]].append(row["term"])
        positions[row["participant"]].append(int(row["position"]))
    terms = sorted(terms_of(study))
    assert all(sorted(own) == terms for own in seen.values())
    assert all(sorted(own) == list(range(1, len(terms) + 1)) for own in positions.values())


@pytest.mark.parametrize("study", STUDIES)
def test_identifiers_are_valid_and_known(study):
    terms = terms_of(study)
    people = [row["participant"] for row in read(f"{study}/participants.csv")]
    assert all(IDENTIFIER.fullmatch(name) for name in [*terms, *people])
    used = [row["anchor"] for row in read(f"{study}/names.csv")]
    used += [row[column] for row in read(f"{study}/decisions.csv") for column in ("term", "beside")]
    used += [row["term"] for row in read(f"{study}/colours.csv")]
    assert set(used) <= set(terms)


def test_sixty_terms_are_shared_four_renamed_and_eight_retired():
    older, newer = terms_of("brine-2016"), terms_of("brine-2026")
    renamed = {row["renamed_from"] for row in newer.values()} - {""}
    assert len(older.keys() & newer.keys()) == 60
    assert len(renamed) == 4
    assert renamed <= older.keys()
    assert not renamed & newer.keys()
    assert len(older.keys() - newer.keys() - renamed) == 8


@pytest.mark.parametrize(
    ("study", "n_classes", "n_subclasses", "n_nowhere"),
    [("brine-2006", 8, 17, 0), ("brine-2016", 8, 18, 1), ("brine-2026", 9, 24, 2)],
)
def test_the_planted_structure_covers_the_terms(study, n_classes, n_subclasses, n_nowhere):
    planted = read(f"{study}.planted.csv")
    assert [row["term"] for row in planted] == sorted(terms_of(study))
    placed = [row for row in planted if row["class"]]
    assert len(planted) - len(placed) == n_nowhere
    assert len({row["class"] for row in placed}) == n_classes
    subclasses = {row["subclass"]: row["class"] for row in placed}
    assert len(subclasses) == n_subclasses
    assert all(subclasses[row["subclass"]] == row["class"] for row in placed)


def test_the_moved_terms_are_those_whose_planted_class_differs():
    older, newer = planted_classes("brine-2016"), planted_classes("brine-2026")
    before = {name: row["renamed_from"] or name for name, row in terms_of("brine-2026").items()}
    differing = {
        (term, older[before[term]], newer[term])
        for term in newer
        if before[term] in older and older[before[term]] != newer[term]
    }
    listed = read("moved.csv")
    assert {(row["term"], row["class_2016"], row["class_2026"]) for row in listed} == differing
    assert sum(row["kind"] == "moved" for row in listed) == 6


def test_what_became_of_the_terms_of_2006_is_what_the_planted_classes_say():
    older, newer = planted_classes("brine-2006"), planted_classes("brine-2016")
    listed = {row["term"]: row for row in read("brine-2006.planted.csv")}
    counts = Counter(row["kind"] for row in listed.values())
    assert counts == {
        "stayed": 39, "joined": 12, "moved": 6, "divided": 4, "retired": 3, "returned": 3
    }  # fmt: skip
    assert {term: row["class_2016"] for term, row in listed.items()} == {
        term: newer.get(term, "") for term in older
    }
    for term, row in listed.items():
        assert (row["kind"] == "stayed") == (older[term] == newer.get(term))
    back = {term for term, row in listed.items() if row["kind"] == "returned"}
    assert back == (older.keys() & terms_of("brine-2026").keys()) - newer.keys()


@pytest.mark.parametrize("study", STUDIES)
def test_no_planted_group_has_two_names_and_every_planted_class_has_one(study):
    planted = {row["term"]: row for row in read(f"{study}.planted.csv")}
    for tier in ("class", "subclass"):
        anchors = [row["anchor"] for row in read(f"{study}/names.csv") if row["tier"] == tier]
        named = [planted[anchor][tier] for anchor in anchors]
        assert len(named) == len(set(named))
        if tier == "class":
            assert set(named) == {row[tier] for row in planted.values()} - {""}


def test_the_crosswalk_tells_the_four_renamed_and_the_eight_retired_and_why():
    older, newer = terms_of("brine-2016"), terms_of("brine-2026")
    rows = read("brine-2026/crosswalk.csv")
    former = {row["renamed_from"]: term for term, row in newer.items() if row["renamed_from"]}
    assert {row["older"]: row["newer"] for row in rows if row["relation"] == "renamed"} == former
    retired = {row["older"] for row in rows if row["relation"] == "retired"}
    assert retired == older.keys() - newer.keys() - former.keys()
    assert all(row["reason"] for row in rows)
