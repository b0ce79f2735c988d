"""The word `gather`: returns of every kind become the tables of a study."""

import csv
import json

import pytest
from felloe.validation.intake.study import read_study
from openpyxl import Workbook
from return_examples import PEOPLE, SHA256, TERMS, answer, copied_text, order_of, put
from study_folder import LIMITS
from tables_as_text import read_texts
from typed_words import gather

PERSON, OTHER = "p0", "p1"


def test_sorts_hold_what_was_shown_in_the_order_of_the_design(folder):
    put(folder, "a.json", answer(PERSON))
    assert gather() == 0
    found = read_texts(folder / "sorts.csv")
    terms = order_of(PERSON)
    assert [row["term"] for row in found] == sorted(TERMS)
    assert {row["term"]: int(row["position"]) for row in found} == {
        term: place for place, term in enumerate(terms, 1)
    }
    pile = {row["term"]: row["pile"] for row in found}
    assert pile[terms[0]] == pile[terms[1]] != pile[terms[2]] == pile[terms[3]] == pile[terms[4]]
    assert pile[terms[5]] == ""  # the person does not know the word: not placed


def test_words_stand_beside_the_pile_of_the_sorts(folder):
    put(folder, "a.json", answer(PERSON))
    gather()
    pile = {row["term"]: row["pile"] for row in read_texts(folder / "sorts.csv")}
    (row,) = read_texts(folder / "pile_words.csv")
    assert row == {"participant": PERSON, "pile": pile[order_of(PERSON)[0]], "words": "Sharp p0"}


def test_populations_come_from_the_invitations_and_minutes_from_who_gave_them(folder):
    put(folder, "a.json", answer(PERSON, minutes=12.5))
    put(folder, "deep/er/b.json", answer(OTHER))
    gather()
    assert read_texts(folder / "participants.csv") == [
        {"participant": PERSON, "population": PEOPLE[PERSON], "minutes": "12.5"},
        {"participant": OTHER, "population": PEOPLE[OTHER], "minutes": ""},
    ]


def test_what_is_gathered_is_a_study_that_can_be_read(folder):
    for person in PEOPLE:
        terms = order_of(person)
        whole = [{"words": "w", "terms": terms[:3]}, {"words": "", "terms": terms[3:]}]
        put(folder, f"{person}.json", answer(person, piles=whole, unknown=[]))
    gather()
    study = read_study(folder, LIMITS)
    assert study.register.participants == tuple(PEOPLE)
    first = [sorted(TERMS).index(term) for term in order_of(OTHER)]
    assert study.positions[1][first].tolist() == [1, 2, 3, 4, 5, 6]


def test_a_design_that_is_a_spreadsheet_is_read(folder):
    put(folder, "a.json", answer(PERSON))
    gather()
    before = (folder / "sorts.csv").read_bytes()
    book = Workbook()
    with open(folder / "design.csv", encoding="utf-8", newline="") as stream:
        for row in csv.reader(stream):
            book.active.append(row)
    (folder / "design.csv").unlink()
    book.save(folder / "design.xlsx")
    assert gather() == 0
    assert (folder / "sorts.csv").read_bytes() == before


def test_minutes_are_left_out_unless_the_consent_text_says_that_they_are_kept(folder, capsys):
    put(folder, "a.json", answer(PERSON, minutes=12.5))
    path = folder / "consent.md"
    path.write_text(path.read_text("utf-8").replace("minutes: yes", "minutes: no"), "utf-8")
    assert gather() == 0
    assert read_texts(folder / "participants.csv") == [
        {"participant": PERSON, "population": PEOPLE[PERSON]}
    ]
    assert "Minutes of 1 are left out" in capsys.readouterr().out
    path.unlink()
    assert gather() == 0
    assert "minutes" not in read_texts(folder / "participants.csv")[0]
    path.write_text("no consent text\n", "utf-8")
    assert gather() == 0
    assert "minutes" not in read_texts(folder / "participants.csv")[0]


def test_a_text_copied_into_a_mail_is_read(folder):
    mail = f"Dear all,\n\n{copied_text(answer(PERSON))}\nYours\n"
    (folder / "returns" / "mail.txt").write_text(mail, encoding="utf-8")
    assert gather() == 0
    assert {row["participant"] for row in read_texts(folder / "sorts.csv")} == {PERSON}


def test_words_that_a_spreadsheet_would_run_are_written_so_that_none_does(folder):
    told = answer(PERSON)
    told["piles"][0]["words"] = "=cmd()"
    put(folder, "a.json", told)
    gather()
    assert read_texts(folder / "pile_words.csv")[0]["words"] == "'=cmd()"


def test_the_oracle_of_the_hash_is_that_of_the_kit(folder):
    from felloe.collecting.identity import hash_of_terms
    from return_examples import LABELS

    assert hash_of_terms(dict(reversed(LABELS.items()))) == SHA256
    assert json.loads((put(folder, "a.json", answer(PERSON))).read_text())["terms"] == SHA256


@pytest.mark.parametrize("person", ["zoe", "zoe-sort", "zoe-colours"])
def test_an_id_may_end_as_the_names_of_files_do(folder, person):
    replace_person(folder, {"p1": "zoe", "p2": "zoe-sort", "p3": "zoe-colours"})
    put(folder, f"brine-{person}.json", {**answer(PERSON), "participant": person})
    assert gather() == 0
    assert {row["participant"] for row in read_texts(folder / "sorts.csv")} == {person}


def replace_person(folder, ids):
    """Give some people other ids; all are given the order of `PERSON`."""
    places = enumerate(order_of(PERSON), 1)
    lines = [f"{own},{term},{place}" for place, term in places for own in ids.values()]
    text = "\n".join(["participant,term,position", *lines])
    (folder / "design.csv").write_text(text, encoding="utf-8")
    people = "\n".join(f"{own},panel" for own in ids.values())
    (folder / "invitations.csv").write_text(f"participant,population\n{people}\n", "utf-8")
