"""Tally tables, typed from paper."""

import pytest
from felloe.collecting.gathering.expected import read_expected
from felloe.collecting.gathering.tally import read_tally
from return_examples import STUDY, TALLY, order_of, put_tally, tally_rows, write_asked
from study_folder import SETTINGS

PERSON, OTHER = "p3", "p4"


@pytest.fixture
def read(tmp_path):
    folder = write_asked(tmp_path / "asked")
    expected = read_expected(STUDY, folder, SETTINGS)

    def reader(*rows, header=TALLY):
        path = put_tally(folder, "tally.csv", [header, *rows])
        return read_tally(path, "tally.csv", expected)

    return reader


def test_cards_are_numbered_in_the_order_in_which_they_were_shown(read):
    ((returned,), faults) = read(*tally_rows(PERSON, ["1", "2", "2", "?", "", "7"]))
    terms = order_of(PERSON)
    assert not faults
    assert [pile.terms for pile in returned.piles] == [
        (terms[0],), (terms[1], terms[2]), (terms[5],),
    ]  # fmt: skip
    assert returned.unknown == (terms[3], terms[4])
    assert returned.unplaced == ()
    assert returned.saved is None


def test_cards_without_a_row_are_not_placed(read):
    ((returned,), faults) = read(*tally_rows(PERSON, ["1", "1", "2"]))
    assert not faults
    assert returned.unplaced == tuple(sorted(order_of(PERSON)[3:]))


def test_several_people_may_stand_in_one_table(read):
    returned, faults = read(*tally_rows(PERSON, "111222"), *tally_rows(OTHER, "121212"))
    assert not faults
    assert [each.identity.participant for each in returned] == [PERSON, OTHER]


def test_words_and_day_are_read(read):
    rows = [[*row, "fresh" if row[3] == "2" else "", "2026-03-27"] for row in
            tally_rows(PERSON, "111222")]  # fmt: skip
    ((returned,), faults) = read(*rows, header=[*TALLY, "words", "saved"])
    assert not faults
    assert [pile.words for pile in returned.piles] == ["fresh", ""]
    assert returned.saved.isoformat() == "2026-03-27T00:00:00+00:00"


def test_minutes_are_read(read):
    rows = [[*row, "12.5" if row[3] == "1" else ""] for row in tally_rows(PERSON, "111222")]
    ((returned,), faults) = read(*rows, header=[*TALLY, "minutes"])
    assert not faults
    assert returned.minutes == 12.5


@pytest.mark.parametrize(
    ("minutes", "told"),
    [("12,5", "decimal comma"), ("an hour", "no number of minutes"), ("13", "another time")],
)
def test_minutes_that_are_none_or_two_are_told(read, minutes, told):
    rows = [[*row, minutes if row[3] == "3" else "12"] for row in tally_rows(PERSON, "111222")]
    _, (fault,) = read(*rows, header=[*TALLY, "minutes"])
    assert told in fault.problem
    assert (fault.line, fault.column) == (4, "minutes")


def test_a_column_that_is_not_read_is_told(read):
    rows = [[*row, "12"] for row in tally_rows(PERSON, "111222")]
    ((returned,), (note,)) = read(*rows, header=[*TALLY, "took"])
    assert returned.minutes is None
    assert (note.column, note.severity) == ("took", "note")


BAD = {
    "another person": ({"participant": "p99"}, "111222", "unknown participant"),
    "a code of another length": ({"terms": "abc"}, "111222", "no code"),
    "a pile that is a date": ({}, ["1", "2", "2026-03-01", "1", "1", "1"], "no whole number"),
    "a card too many": ({}, "1112223", "none with this number"),
    "piles that differ in capitals": ({}, "aAabbb", "in one way"),
}


@pytest.mark.parametrize(("cells", "piles", "told"), BAD.values(), ids=BAD)
def test_what_cannot_be_is_told_with_its_line(read, cells, piles, told):
    returned, faults = read(*tally_rows(PERSON, piles, **cells))
    assert not returned
    assert any(told in str(fault) and fault.line for fault in faults)


def test_a_card_twice_is_told(read):
    rows = tally_rows(PERSON, "111222")
    _, (fault,) = read(*rows, rows[1])
    assert fault.line == 8
    assert "card 2 twice" in fault.problem


@pytest.mark.parametrize("saved", ["27.3.2026", "2026-02-30", "soon"])
def test_a_day_that_is_none_is_told(read, saved):
    rows = [[*row, saved] for row in tally_rows(PERSON, "111222")]
    _, (fault,) = read(*rows, header=[*TALLY, "saved"])
    assert "neither a day nor a time" in fault.problem


def test_two_wordings_for_one_pile_are_told(read):
    rows = [[*row, f"w{row[3]}"] for row in tally_rows(PERSON, "112345")]
    _, (fault,) = read(*rows, header=[*TALLY, "words"])
    assert "other words" in fault.problem


def test_cards_of_a_design_without_an_order_are_told(tmp_path):
    folder = write_asked(tmp_path / "asked")
    path = folder / "design.csv"
    lines = [line.rsplit(",", 1)[0] for line in path.read_text("utf-8").splitlines()]
    path.write_text("\n".join(lines), "utf-8")
    tally = put_tally(folder, "tally.csv", [TALLY, *tally_rows(PERSON, "111222")])
    _, faults = read_tally(tally, "tally.csv", read_expected(STUDY, folder, SETTINGS))
    assert "does not say in which order" in str(faults[0])


@pytest.mark.parametrize("pile", ["1 2", "1-2", "1 or 2"])
def test_several_piles_of_one_card_are_told(read, pile):
    returned, (fault,) = read(*tally_rows(PERSON, ["1", "1", "2", pile, "2", "2"]))
    assert not returned
    assert "is no number of one pile" in str(fault)


def test_blanks_within_the_name_of_a_pile_make_no_pile_of_its_own(read):
    piles = ["wet hay", "wet  hay", "2", "2", "2", "2"]
    ((returned,), faults) = read(*tally_rows(PERSON, piles))
    assert not faults
    assert [len(pile.terms) for pile in returned.piles] == [2, 4]
