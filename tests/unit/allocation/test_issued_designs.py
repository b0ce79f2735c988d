"""`design.csv` read and added to: faults with their line, and not one byte of what is there."""

import csv
import io

import pytest
from felloe.allocation.design_file import read_issued, read_orders, with_people
from felloe.allocation.people_files import read_people
from study_folder import write_rows

TERMS = ["brine", "crisp", "dill", "garlic"]
PEOPLE = {"p1": "panel", "p2": "panel", "m1": "makers"}
ROWS = [("m1", "dill", 1), ("m1", "brine", 2)]
GOOD = [["participant", "term", "position"], ["p2", "dill", "2"], ["p2", "crisp", "1"],
        ["p1", "garlic", "1"]]  # fmt: skip


def read(tmp_path, rows, **form):
    write_rows(tmp_path / "design.csv", rows, **form)
    issued, faults = read_issued(tmp_path / "design.csv", PEOPLE, TERMS)
    return {person: [TERMS[j] for j in own] for person, own in issued.items()}, faults


@pytest.mark.parametrize(
    "form", [{}, {"delimiter": ";"}, {"newline": "\r\n"}, {"encoding": "utf-8-sig"}]
)
def test_a_design_is_read_in_every_form_of_csv(tmp_path, form):
    issued, faults = read(tmp_path, GOOD, **form)
    assert not faults
    assert issued == {"p1": ["garlic"], "p2": ["crisp", "dill"]}


def test_a_design_needs_no_positions(tmp_path):
    issued, faults = read(tmp_path, [row[:2] for row in GOOD])
    assert not faults
    assert issued == {"p1": ["garlic"], "p2": ["crisp", "dill"]}


def test_a_design_of_nothing_but_terms_that_are_left_out_issues_nothing(tmp_path):
    write_rows(tmp_path / "design.csv", [GOOD[0], ["p1", "smoke", "1"], ["p2", "smoke", "1"]])
    assert read_issued(tmp_path / "design.csv", PEOPLE, TERMS, {"smoke"}) == ({}, [])


@pytest.mark.parametrize(
    ("row", "line", "column", "problem", "remedy"),
    [
        (["p1", "smoke", "2"], 5, "term", "is no longer in terms.csv", "Put it back"),
        (["p9", "dill", "2"], 5, "participant", "in neither list of people", "delete the lines"),
        (["p1", "garlic", "2"], 5, "participant", "stands twice", "Keep one"),
        (["p1", "dill", "1"], 5, "position", "two terms in this position", "Number"),
        (["p1", "dill", "0"], 5, "position", "no whole number from 1", "Write 1, 2, 3"),
        (["p1", "=dill()", "2"], 5, "term", "is no identifier", "small letters"),
        (["p1", "", "2"], 5, "term", "is empty", "Fill the cell in"),
    ],
)
def test_a_fault_is_named_with_its_line_and_a_cure(tmp_path, row, line, column, problem, remedy):
    issued, (fault,) = read(tmp_path, [*GOOD, row])
    assert not issued
    assert (fault.line, fault.column) == (line, column)
    assert problem in fault.problem
    assert remedy in fault.remedy


@pytest.mark.parametrize(
    "data", [b"", b"participant,term\n", b"\0\0", b"\xff\xfex", b'participant,term\n"p1,dill\n',
             b"who,what\np1,dill\n"]
)  # fmt: skip
def test_what_is_no_design_is_refused(tmp_path, data):
    (tmp_path / "design.csv").write_bytes(data)
    issued, faults = read_issued(tmp_path / "design.csv", PEOPLE, TERMS)
    assert not issued
    assert all(fault.problem and fault.remedy for fault in faults)
    assert faults


def test_a_new_file_has_three_columns():
    assert with_people(b"", ROWS) == b"participant,term,position\nm1,dill,1\nm1,brine,2\n"


@pytest.mark.parametrize(
    "before",
    [
        b"participant,term,position\np1,dill,1\n",
        b"participant,term,position\np1,dill,1",  # no end of the last line
        b"\xef\xbb\xbfterm;participant;position\r\ndill;p1;1\r\n",
        b'participant,note,term\np1,"a, b",dill\n',
        b"\n\n participant , term \np1 , dill\n\n",
    ],
)
def test_rows_are_added_as_the_file_is_written_and_no_byte_of_it_changes(before):
    after = with_people(before, ROWS)
    assert after.startswith(before)
    text = after.decode("utf-8-sig")
    separator = ";" if ";" in text else ","
    rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=separator))
    header, *rest = [[each.strip() for each in row] for row in rows if row]
    found = [dict(zip(header, row, strict=True)) for row in rest]
    assert [(row["participant"], row["term"]) for row in found] == [
        ("p1", "dill"), ("m1", "dill"), ("m1", "brine"),
    ]  # fmt: skip
    if "position" in header:
        assert [row["position"] for row in found] == ["1", "1", "2"]
    ends = {after.count(b"\r\n"), after.count(b"\n")} if b"\r\n" in before else {0}
    assert len(ends) == 1


def test_nobody_new_changes_no_byte():
    for before in (b"participant,term\np1,dill", b"participant,term\np1,dill\n"):
        assert with_people(before, []) == before


POPULATIONS = {"panel": "Panel", "makers": "Makers"}


def people_of(tmp_path, **files):
    for name, rows in files.items():
        write_rows(tmp_path / f"{name}.csv", [["participant", "population"], *rows])
    return read_people(tmp_path, POPULATIONS)


def test_people_are_those_who_take_part_and_those_who_are_invited(tmp_path):
    taking_part = [["p2", "panel"], ["p1", "makers"]]
    invited = [["p3", "panel"], ["p2", "panel"]]
    people, faults = people_of(tmp_path, participants=taking_part, invitations=invited)
    assert not faults
    assert list(people.items()) == [("p1", "makers"), ("p2", "panel"), ("p3", "panel")]


@pytest.mark.parametrize("name", ["participants", "invitations"])
def test_either_list_of_people_is_enough(tmp_path, name):
    people, faults = people_of(tmp_path, **{name: [["p1", "panel"]]})
    assert (people, faults) == ({"p1": "panel"}, [])


def test_a_person_of_two_populations_is_refused(tmp_path):
    _, (fault,) = people_of(
        tmp_path, participants=[["p1", "panel"]], invitations=[["p1", "makers"]]
    )
    assert fault.file.endswith("invitations.csv")
    assert "'makers' here and of 'panel'" in fault.problem


def test_without_any_list_of_people_it_is_said_how_to_write_one(tmp_path):
    _, (fault,) = read_people(tmp_path, POPULATIONS)
    assert "missing" in fault.problem
    assert "participant, population" in fault.remedy


def test_an_undeclared_population_is_refused(tmp_path):
    _, (fault,) = people_of(tmp_path, invitations=[["p1", "pannel"]])
    assert "Did you mean 'panel'" in fault.remedy


def test_orders_are_read_by_positions_and_are_none_where_one_is_missing(tmp_path):
    rows = [*GOOD, ["m1", "brine", ""], ["m1", "dill", "1"]]
    write_rows(tmp_path / "design.csv", rows)
    orders = read_orders(tmp_path / "design.csv", PEOPLE, TERMS)
    assert [TERMS[place] for place in orders["p2"]] == ["crisp", "dill"]
    assert orders["m1"] is None
    write_rows(tmp_path / "design.csv", [["participant", "term", "position"],
                                         ["p1", "brine", "3"], ["p1", "garlic", "1"],
                                         ["p1", "crisp", "2"]])  # fmt: skip
    (order,) = read_orders(tmp_path / "design.csv", PEOPLE, TERMS).values()
    assert [TERMS[place] for place in order] == ["garlic", "crisp", "brine"]


def test_a_faulty_design_gives_no_orders(tmp_path):
    write_rows(tmp_path / "design.csv", [*GOOD, ["p9", "dill", "2"]])
    assert read_orders(tmp_path / "design.csv", PEOPLE, TERMS) == {}
