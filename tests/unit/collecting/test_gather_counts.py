"""What `gather` counts and tells: of several answers one, what is unfinished, who is silent."""

import pytest
from return_examples import PEOPLE, TALLY, answer, order_of, put, put_tally, tally_rows
from tables_as_text import read_texts
from typed_words import gather, refusal

PERSON, OTHER = "p0", "p1"


def test_the_later_of_two_counts_and_it_is_said(folder, capsys):
    terms = order_of(PERSON)
    later = [{"words": "", "terms": terms}]
    put(folder, "a.json", answer(PERSON, saved="2026-03-02T00:00:00Z", piles=later, unknown=[]))
    put(folder, "b.json", answer(PERSON))
    assert gather() == 0
    assert {row["pile"] for row in read_texts(folder / "sorts.csv")} == {"1"}
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
    assert {row["participant"] for row in read_texts(folder / "sorts.csv")} == {OTHER}
    assert [row["participant"] for row in read_texts(folder / "participants.csv")] == [OTHER]


def test_incomplete_ones_count_as_not_placed_where_that_is_asked(folder):
    put(folder, "a.json", unfinished(PERSON))
    assert gather("--with-incomplete") == 0
    empty = {row["term"] for row in read_texts(folder / "sorts.csv") if row["pile"] == ""}
    assert empty == set(order_of(PERSON)[3:])


def test_who_has_not_answered_is_said_by_population(folder, capsys):
    put(folder, "a.json", answer(PERSON))
    gather()
    said = capsys.readouterr().out
    silent = {name: [who for who in PEOPLE if PEOPLE[who] == name] for name in ("panel", "makers")}
    silent["panel"].remove(PERSON)
    for name, people in silent.items():
        assert f"({len(people)}): {', '.join(people)}" in said, name


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


def test_links_that_lead_to_no_file_are_named(folder, capsys):
    put(folder, "a.json", answer(PERSON))
    (folder / "elsewhere").mkdir()
    (folder / "returns" / "linked").symlink_to("../elsewhere")
    (folder / "returns" / "gone.json").symlink_to("nothing.json")
    assert gather() == 0
    said = capsys.readouterr().out
    assert "returns/linked: is no file" in said
    assert "returns/gone.json: is no file" in said


@pytest.mark.parametrize(("year", "said"), [(2026, False), (9000, True)])
def test_a_clock_that_is_ahead_is_said(folder, capsys, year, said):
    put(folder, "a.json", answer(PERSON, saved="2025-03-01T10:00:00Z"))
    piles = [{"words": "", "terms": order_of(PERSON)}]
    later = answer(PERSON, saved=f"{year}-01-02T10:00:00Z", piles=piles, unknown=[])
    put(folder, "b.json", later)
    assert gather() == 0
    assert ("is that clock right?" in capsys.readouterr().out) == said
