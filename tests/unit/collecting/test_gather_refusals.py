"""What `gather` refuses: a return or a study that is not what was issued; nothing is written."""

import os
from pathlib import Path

import pytest
from felloe.collecting.kit.record import NAME as RECORD
from felloe.collecting.kit.record import Issued, record_text
from return_examples import SHA256, answer, order_of, put
from typed_words import gather, refusal

PERSON, OTHER = "p0", "p1"
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


def test_nothing_to_gather_is_said(folder, capsys):
    assert "nothing to gather" in refusal(capsys, folder, gather)


def test_a_lexicon_that_was_changed_since_is_noticed(folder, capsys):
    put(folder, "a.json", answer(PERSON))
    path = folder / "terms.csv"
    path.write_bytes(path.read_bytes().replace(b"Dill", b"Dills"))
    assert "another lexicon" in refusal(capsys, folder, gather)


def test_the_wide_layout_is_refused(folder, capsys):
    put(folder, "a.json", answer(PERSON))
    path = folder / "study.yaml"
    path.write_text(path.read_text("utf-8").replace("layout: long", "layout: wide"), "utf-8")
    assert "long layout" in refusal(capsys, folder, gather)


def test_a_study_without_invitations_or_design_is_told_what_is_missing(folder, capsys):
    put(folder, "a.json", answer(PERSON))
    for name in ("invitations.csv", "design.csv"):
        (folder / name).unlink()
    said = refusal(capsys, folder, gather)
    assert "invitations.csv: the file is missing" in said
    assert "design.csv: the file is missing" in said


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


def test_a_folder_that_may_not_be_read_is_refused(folder, capsys, monkeypatch):
    put(folder, "a.json", answer(PERSON))
    put(folder, "locked/b.json", answer("p2"))
    monkeypatch.setattr(os, "access", lambda path, _: Path(path).name != "locked")
    assert "locked: can't be looked into" in refusal(capsys, folder, gather)
