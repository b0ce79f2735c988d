"""The word `gather`: returns of every kind become tables, or are refused by name."""

import csv
import json
import os
from pathlib import Path

import pytest
from felloe.collecting.gathering import keeping
from felloe.collecting.kit.record import NAME as RECORD
from felloe.collecting.kit.record import Issued, record_text
from felloe.validation.intake.study import read_study
from openpyxl import Workbook
from return_examples import (
    PEOPLE,
    SHA256,
    TALLY,
    TERMS,
    answer,
    colour_answer,
    copied_text,
    order_of,
    put,
    put_tally,
    tally_rows,
)
from study_folder import LIMITS, bytes_of, read_rows
from typed_words import fill_disk, gather, refusal

PERSON, OTHER = "p0", "p1"


def test_sorts_hold_what_was_shown_in_the_order_of_the_design(folder):
    put(folder, "a.json", answer(PERSON))
    assert gather() == 0
    found = read_rows(folder / "sorts.csv")
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
    pile = {row["term"]: row["pile"] for row in read_rows(folder / "sorts.csv")}
    (row,) = read_rows(folder / "pile_words.csv")
    assert row == {"participant": PERSON, "pile": pile[order_of(PERSON)[0]], "words": "Sharp p0"}


def test_populations_come_from_the_invitations_and_minutes_from_who_gave_them(folder):
    put(folder, "a.json", answer(PERSON, minutes=12.5))
    put(folder, "deep/er/b.json", answer(OTHER))
    gather()
    assert read_rows(folder / "participants.csv") == [
        {"participant": PERSON, "population": PEOPLE[PERSON], "minutes": "12.5"},
        {"participant": OTHER, "population": PEOPLE[OTHER], "minutes": ""},
    ]


def test_colours_come_with_their_respondents(folder):
    put(folder, "c.json", colour_answer(PERSON, {"dill": "#00aa11", "brine": "#112233"}))
    assert gather() == 0
    assert read_rows(folder / "colours.csv") == [
        {"term": "brine", "respondent": PERSON, "colour": "#112233"},
        {"term": "dill", "respondent": PERSON, "colour": "#00aa11"},
    ]
    assert not (folder / "sorts.csv").exists()


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


def test_gathering_twice_changes_no_byte(folder, capsys):
    for person in PEOPLE:
        put(folder, f"{person}.json", answer(person))
    gather()
    before = bytes_of(folder)
    capsys.readouterr()
    assert gather() == 0
    assert bytes_of(folder) == before
    assert capsys.readouterr().out.count("the same as before") == 3


ALIEN = {
    "study": "cider",
    "edition": "2016",
    "participant": "p99",
    "terms": SHA256[::-1],
}


@pytest.mark.parametrize("key", ALIEN)
def test_a_return_of_another_study_edition_person_or_lexicon_is_refused_by_name(
    folder, capsys, key
):
    put(folder, "strange.json", answer(PERSON, **{key: ALIEN[key]}))
    put(folder, "good.json", answer(OTHER))
    said = refusal(capsys, folder, gather)
    assert "strange.json" in said
    assert ALIEN[key][:8] in said
    assert "good.json" not in said


def test_a_file_named_for_one_person_that_holds_another_is_refused(folder, capsys):
    put(folder, "brine-p1-sort (2).json", answer(PERSON))
    said = refusal(capsys, folder, gather)
    assert "named as the return of 'p1'" in said


def test_the_later_of_two_counts_and_it_is_said(folder, capsys):
    terms = order_of(PERSON)
    later = [{"words": "", "terms": terms}]
    put(folder, "a.json", answer(PERSON, saved="2026-03-02T00:00:00Z", piles=later, unknown=[]))
    put(folder, "b.json", answer(PERSON))
    assert gather() == 0
    assert {row["pile"] for row in read_rows(folder / "sorts.csv")} == {"1"}
    said = capsys.readouterr().out
    assert "a.json counts" in said
    assert "b.json, saved 2026-03-01T10:00:00" in said


@pytest.mark.parametrize("saved", ["2026-03-01T10:00:00Z", None])
def test_two_that_cannot_be_told_by_time_are_refused(folder, capsys, saved):
    told = answer(PERSON, saved=saved, unknown=[])
    told["piles"] = [{"words": "", "terms": order_of(PERSON)}]
    put_tally(folder, "tally.csv", [TALLY, *tally_rows(PERSON, "112233")])
    if saved:
        (folder / "returns" / "tally.csv").unlink()
        put(folder, "b.json", answer(PERSON))
    told["saved"] = told["saved"] or "2026-03-01T10:00:00Z"
    put(folder, "a.json", told)
    assert "Choose one" in refusal(capsys, folder, gather)


def test_the_same_answer_sent_twice_counts_once(folder, capsys):
    put(folder, "a.json", answer(PERSON))
    put(folder, "b.json", answer(PERSON))
    assert gather() == 0
    assert "the same answer 2 times" in capsys.readouterr().out


def unfinished(person):
    terms = order_of(person)
    piles = [{"words": "", "terms": terms[:3]}]
    return answer(person, piles=piles, unknown=[], unplaced=terms[3:])


def test_incomplete_ones_are_listed_and_left_out(folder, capsys):
    put(folder, "a.json", unfinished(PERSON))
    put(folder, "b.json", answer(OTHER))
    assert gather() == 0
    said = capsys.readouterr().out
    assert f"3 of 6 terms are missing: {', '.join(sorted(order_of(PERSON)[3:]))}" in said
    assert {row["participant"] for row in read_rows(folder / "sorts.csv")} == {OTHER}
    assert [row["participant"] for row in read_rows(folder / "participants.csv")] == [OTHER]


def test_incomplete_ones_count_as_not_placed_where_that_is_asked(folder):
    put(folder, "a.json", unfinished(PERSON))
    assert gather("--with-incomplete") == 0
    empty = {row["term"] for row in read_rows(folder / "sorts.csv") if row["pile"] == ""}
    assert empty == set(order_of(PERSON)[3:])


def test_who_has_not_answered_is_said_by_population(folder, capsys):
    put(folder, "a.json", answer(PERSON))
    gather()
    said = capsys.readouterr().out
    silent = {name: [who for who in PEOPLE if PEOPLE[who] == name] for name in ("panel", "makers")}
    silent["panel"].remove(PERSON)
    for name, people in silent.items():
        assert f"({len(people)}): {', '.join(people)}" in said, name


def test_a_term_that_was_not_shown_is_refused(folder, capsys):
    path = folder / "design.csv"
    gone = order_of(PERSON)[0]
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    path.write_text("".join(line for line in lines if f"{PERSON},{gone}," not in line), "utf-8")
    put(folder, "a.json", answer(PERSON))
    assert f"'{PERSON}' was not shown '{gone}'" in refusal(capsys, folder, gather)


def test_a_return_that_says_nothing_of_a_term_or_says_it_twice_is_refused(folder, capsys):
    told = answer(PERSON)
    lost = told["piles"][0]["terms"].pop(0)
    put(folder, "a.json", told)
    assert f"says nothing of 1 term: {lost}" in refusal(capsys, folder, gather)
    told["piles"][0]["terms"] += [lost, lost]
    put(folder, "a.json", told)
    assert "twice" in refusal(capsys, folder, gather)


def test_one_refused_return_stops_all_tables(folder, capsys):
    put(folder, "a.json", answer(PERSON))
    gather()
    put(folder, "b.json", answer(OTHER, study="cider"))
    refusal(capsys, folder, gather)


def test_what_is_overwritten_is_copied_before(folder):
    put(folder, "a.json", answer(PERSON))
    gather()
    first = (folder / "sorts.csv").read_bytes()
    put(folder, "b.json", answer(OTHER))
    assert gather() == 0
    assert (folder / "gathered" / "001-sorts.csv").read_bytes() == first
    assert (folder / "sorts.csv").read_bytes() != first


@pytest.mark.parametrize("name", ["sorts.csv", "participants.csv", "pile_words.csv"])
def test_an_edit_by_hand_is_noticed_and_kept(folder, capsys, name):
    put(folder, "a.json", answer(PERSON))
    gather()
    path = folder / name
    path.write_bytes(path.read_bytes().replace(b"p0", b"p1"))
    assert "changed by hand" in refusal(capsys, folder, gather)


def test_sorts_that_were_not_gathered_are_kept(folder, capsys):
    put(folder, "a.json", answer(PERSON))
    (folder / "sorts.csv").write_text("participant,term,pile\np0,dill,1\n", encoding="utf-8")
    assert "was not gathered from returns" in refusal(capsys, folder, gather)


def test_a_table_that_no_return_backs_any_more_is_taken_away_with_a_copy(folder):
    path = put(folder, "a.json", answer(PERSON))
    put(folder, "c.json", colour_answer(PERSON, {"dill": "#00aa11"}))
    gather()
    first = (folder / "sorts.csv").read_bytes()
    path.unlink()
    assert gather() == 0
    assert not (folder / "sorts.csv").exists()
    assert (folder / "gathered" / "001-sorts.csv").read_bytes() == first
    assert (folder / "colours.csv").exists()


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
    assert read_rows(folder / "participants.csv") == [
        {"participant": PERSON, "population": PEOPLE[PERSON]}
    ]
    assert "Minutes of 1 are left out" in capsys.readouterr().out
    path.unlink()
    assert gather() == 0
    assert "minutes" not in read_rows(folder / "participants.csv")[0]
    path.write_text("no consent text\n", "utf-8")
    assert gather() == 0
    assert "minutes" not in read_rows(folder / "participants.csv")[0]


def deal(folder, person, terms):
    """Write into the record of a person's kit for which terms they were asked."""
    path = folder / "kit" / person / "issued.json"
    record = json.loads(path.read_text("utf-8"))
    record["colours"]["order"] = terms
    path.write_text(json.dumps(record), encoding="utf-8")


def test_colours_are_held_against_the_terms_that_were_dealt(folder, capsys):
    deal(folder, PERSON, ["dill", "brine", "salt"])
    picks = {"dill": "#00aa11", "brine": "#112233"}
    path = put(folder, "c.json", colour_answer(PERSON, picks, unplaced=["salt"]))
    assert gather() == 0
    path.unlink()
    alien = put(folder, "d.json", colour_answer(PERSON, picks))
    assert f"'{PERSON}' was not asked for the colour of" in refusal(capsys, folder, gather)
    alien.unlink()
    lost = put(folder, "e.json", colour_answer(PERSON, picks, unplaced=[]))
    assert "says nothing of 1 term: salt" in refusal(capsys, folder, gather)
    lost.unlink()
    none = {**colour_answer(PERSON, picks, unplaced=[]), "unknown": ["salt"]}  # none fits
    put(folder, "f.json", none)
    assert gather() == 0


def test_colours_of_somebody_of_whose_kit_there_is_no_record_are_refused(folder, capsys):
    (folder / "kit" / PERSON / "issued.json").unlink()
    put(folder, "c.json", colour_answer(PERSON, {"dill": "#00aa11"}))
    assert f"kit/{PERSON}/issued.json" in refusal(capsys, folder, gather)


@pytest.mark.parametrize("after", range(1, 7))
def test_who_is_interrupted_gathers_again(folder, monkeypatch, after):
    put(folder, "a.json", answer(PERSON))
    gather()
    put(folder, "b.json", answer(OTHER))
    with monkeypatch.context() as patched:
        fill_disk(patched, keeping, after)
        gather()
    put(folder, "c.json", answer("p2"))
    assert gather() == 0
    assert {row["participant"] for row in read_rows(folder / "sorts.csv")} == {PERSON, OTHER, "p2"}
    assert len(read_rows(folder / "participants.csv")) == 3


def test_nothing_to_gather_is_said(folder, capsys):
    assert "nothing to gather" in refusal(capsys, folder, gather)


def test_files_of_no_known_kind_are_named(folder, capsys):
    put(folder, "a.json", answer(PERSON))
    (folder / "returns" / "scan.pdf").write_bytes(b"%PDF")
    (folder / "returns" / ".DS_Store").write_bytes(b"x")
    assert gather() == 0
    said = capsys.readouterr().out
    assert "scan.pdf" in said
    assert "DS_Store" not in said


@pytest.mark.parametrize(
    ("name", "cure"), [("a.ods", ".xlsx"), ("a.eml", ".txt"), ("Typed.csv", "tally.csv")]
)
def test_a_file_that_could_be_read_in_another_form_says_how(folder, capsys, name, cure):
    put(folder, "a.json", answer(PERSON))
    (folder / "returns" / name).write_bytes(b"x")
    assert gather() == 0
    (line,) = [line for line in capsys.readouterr().out.splitlines() if name in line]
    assert cure in line.split("not read")[1]


def test_who_has_picked_no_colours_yet_is_said(folder, capsys):
    put(folder, "c.json", colour_answer(PERSON, {"dill": "#00aa11"}, unplaced=[]))
    deal(folder, PERSON, ["dill"])
    asked = {path.parent.name for path in folder.glob("kit/*/issued.json")
             if "colours" in json.loads(path.read_text("utf-8"))}  # fmt: skip
    gather()
    said = capsys.readouterr().out
    assert f"Colours: picked by 1 of {len(asked)} who were asked." in said
    assert f"No colours yet ({len(asked) - 1}): {', '.join(sorted(asked - {PERSON}))}" in said


def test_a_lexicon_that_was_changed_since_is_noticed(folder, capsys):
    put(folder, "a.json", answer(PERSON))
    path = folder / "terms.csv"
    path.write_bytes(path.read_bytes().replace(b"Dill", b"Dills"))
    assert "another lexicon" in refusal(capsys, folder, gather)


def test_a_text_copied_into_a_mail_is_read(folder):
    mail = f"Dear all,\n\n{copied_text(answer(PERSON))}\nYours\n"
    (folder / "returns" / "mail.txt").write_text(mail, encoding="utf-8")
    assert gather() == 0
    assert {row["participant"] for row in read_rows(folder / "sorts.csv")} == {PERSON}


def test_the_wide_layout_is_refused(folder, capsys):
    put(folder, "a.json", answer(PERSON))
    path = folder / "study.yaml"
    path.write_text(path.read_text("utf-8").replace("layout: long", "layout: wide"), "utf-8")
    assert "long layout" in refusal(capsys, folder, gather)


def test_words_that_a_spreadsheet_would_run_are_written_so_that_none_does(folder):
    told = answer(PERSON)
    told["piles"][0]["words"] = "=cmd()"
    put(folder, "a.json", told)
    gather()
    assert read_rows(folder / "pile_words.csv")[0]["words"] == "'=cmd()"


def test_a_study_without_invitations_or_design_is_told_what_is_missing(folder, capsys):
    put(folder, "a.json", answer(PERSON))
    for name in ("invitations.csv", "design.csv"):
        (folder / name).unlink()
    said = refusal(capsys, folder, gather)
    assert "invitations.csv: the file is missing" in said
    assert "design.csv: the file is missing" in said


def test_the_oracle_of_the_hash_is_that_of_the_kit(folder):
    from felloe.collecting.identity import hash_of_terms
    from return_examples import LABELS

    assert hash_of_terms(dict(reversed(LABELS.items()))) == SHA256
    assert json.loads((put(folder, "a.json", answer(PERSON))).read_text())["terms"] == SHA256


def record_order(folder, person, terms):
    """Write down in which order somebody was given their cards."""
    path = folder / "kit" / person / RECORD
    path.write_text(record_text({"sort": Issued({}, tuple(terms))}), encoding="utf-8")


def test_a_design_that_is_not_what_was_given_is_refused(folder, capsys):
    put(folder, "a.json", answer(PERSON))
    record_order(folder, PERSON, order_of(PERSON))
    assert gather() == 0
    one, two, *others = order_of(PERSON)
    record_order(folder, PERSON, [two, one, *others])
    said = refusal(capsys, folder, gather)
    assert "design.csv" in said
    assert f"kit/{PERSON}/{RECORD}" in said


def test_links_that_lead_to_no_file_are_named(folder, capsys):
    put(folder, "a.json", answer(PERSON))
    (folder / "elsewhere").mkdir()
    (folder / "returns" / "linked").symlink_to("../elsewhere")
    (folder / "returns" / "gone.json").symlink_to("nothing.json")
    assert gather() == 0
    said = capsys.readouterr().out
    assert "returns/linked: is no file" in said
    assert "returns/gone.json: is no file" in said


def test_a_folder_that_may_not_be_read_is_refused(folder, capsys, monkeypatch):
    put(folder, "a.json", answer(PERSON))
    put(folder, "locked/b.json", answer("p2"))
    monkeypatch.setattr(os, "access", lambda path, _: Path(path).name != "locked")
    assert "locked: can't be looked into" in refusal(capsys, folder, gather)


@pytest.mark.parametrize(("year", "said"), [(2026, False), (9000, True)])
def test_a_clock_that_is_ahead_is_said(folder, capsys, year, said):
    put(folder, "a.json", answer(PERSON, saved="2025-03-01T10:00:00Z"))
    piles = [{"words": "", "terms": order_of(PERSON)}]
    later = answer(PERSON, saved=f"{year}-01-02T10:00:00Z", piles=piles, unknown=[])
    put(folder, "b.json", later)
    assert gather() == 0
    assert ("is that clock right?" in capsys.readouterr().out) == said


@pytest.mark.parametrize("person", ["zoe", "zoe-sort", "zoe-colours"])
def test_an_id_may_end_as_the_names_of_files_do(folder, person):
    replace_person(folder, {"p1": "zoe", "p2": "zoe-sort", "p3": "zoe-colours"})
    put(folder, f"brine-{person}.json", {**answer(PERSON), "participant": person})
    assert gather() == 0
    assert {row["participant"] for row in read_rows(folder / "sorts.csv")} == {person}


def replace_person(folder, ids):
    """Give some people other ids; all are given the order of `PERSON`."""
    places = enumerate(order_of(PERSON), 1)
    lines = [f"{own},{term},{place}" for place, term in places for own in ids.values()]
    text = "\n".join(["participant,term,position", *lines])
    (folder / "design.csv").write_text(text, encoding="utf-8")
    people = "\n".join(f"{own},panel" for own in ids.values())
    (folder / "invitations.csv").write_text(f"participant,population\n{people}\n", "utf-8")
