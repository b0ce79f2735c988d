"""The word `gather` typed again: what stands there is kept, copied or taken away, never lost."""

import pytest
from felloe.collecting.gathering import keeping
from return_examples import PEOPLE, answer, colour_answer, put
from study_folder import bytes_of
from tables_as_text import read_texts
from typed_words import fill_disk, gather, refusal

PERSON, OTHER = "p0", "p1"


def test_gathering_twice_changes_no_byte(folder, capsys):
    for person in PEOPLE:
        put(folder, f"{person}.json", answer(person))
    gather()
    before = bytes_of(folder)
    capsys.readouterr()
    assert gather() == 0
    assert bytes_of(folder) == before
    assert capsys.readouterr().out.count("the same as before") == 3


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
    assert {row["participant"] for row in read_texts(folder / "sorts.csv")} == {PERSON, OTHER, "p2"}
    assert len(read_texts(folder / "participants.csv")) == 3
