"""Tables cell by cell, rows by what they are about."""

import pytest
from felloe.audit.cells import Sheet, compare_sheets, compare_tables
from felloe.audit.differences import KEPT
from felloe.audit.keys import KEYS, declared, is_personal, key_candidates
from felloe.editions.tables import TABLES as OF_EDITIONS
from felloe.report.catalogue import TABLES
from hypothesis import given, settings
from hypothesis import strategies as st


def compared(tmp_path, path, was, now):
    files = [tmp_path / "was.csv", tmp_path / "now.csv"]
    for file, text in zip(files, (was, now)):
        file.write_bytes(text if isinstance(text, bytes) else text.encode())
    return compare_tables(path, *files)


def told(found):
    return [(cell.row, cell.column, cell.was, cell.now) for cell in found.cells]


def test_a_cell_is_told_by_row_column_and_values(tmp_path):
    was = "term,difference,p_maxT\ndill,0.25,0.5\ngarlic,0.5,0.1\n"
    found = compared(tmp_path, "comparison/terms.csv", was, was.replace("0.25", "0.75"))
    assert found.key == ("term",)
    assert told(found) == [(("dill",), "difference", "0.25", "0.75")]
    assert found.cells[0].by == 0.5
    assert (found.n_cells, found.n_rows_was, found.n_rows_now) == (1, 0, 0)


def test_a_cell_of_a_square_is_told_by_both_terms(tmp_path):
    was = "term,dill,garlic\ndill,9,8\ngarlic,8,9\n"
    now = was.replace("8", "6")
    found = compared(tmp_path, "matrices/pooled.both.csv", was, now)
    assert told(found) == [(("dill",), "garlic", "8", "6"), (("garlic",), "dill", "8", "6")]
    assert [cell.by for cell in found.cells] == [-2.0, -2.0]


def test_words_have_no_difference_in_numbers(tmp_path):
    was = "term,label\ndill,1\n"
    found = compared(tmp_path, "validation/terms.csv", was, was.replace(",1", ",2"))
    assert found.cells[0].by is None
    empty = "term,difference\ndill,0.5\n"
    found = compared(tmp_path, "comparison/terms.csv", empty, empty.replace("0.5", ""))
    assert found.cells[0].by is None


def test_rows_take_as_many_columns_as_tell_them_apart(tmp_path):
    rows = ["published,class,dill,A", "published,class,mint,B", "data_only,class,dill,C"]
    was = "\n".join(["chart,tier,id,name", *rows, ""])
    found = compared(tmp_path, "tiers/groups.csv", was, was.replace("C", "D"))
    assert found.key == ("chart", "tier", "id")
    assert told(found) == [(("data_only", "class", "dill"), "name", "C", "D")]


def test_rows_of_a_tree_go_by_their_number(tmp_path):
    was = "left,right,height,size\n0,1,0.1,2\n2,3,0.4,3\n"
    found = compared(tmp_path, "clustering/linkage.csv", was, was.replace("0.4", "0.5"))
    assert found.key == ()
    assert told(found) == [(("2",), "height", "0.4", "0.5")]


def test_a_node_of_another_tree_is_no_change_of_a_node(tmp_path):
    was = "node,members,height\n0,a;b,0.1\n1,a;b;c,0.2\n"
    now = "node,members,height\n0,a;c,0.1\n1,a;b;c,0.3\n"
    found = compared(tmp_path, "clustering/support.csv", was, now)
    assert found.rows_was == (("a;b",),)
    assert found.rows_now == (("a;c",),)
    assert told(found) == [(("a;b;c",), "height", "0.2", "0.3")]


def test_rows_and_columns_of_one_side_are_told(tmp_path):
    was = "term,difference,old\ndill,0.1,x\ngarlic,0.2,y\n"
    now = "term,new,difference\nmint,z,0.3\ndill,z,0.1\n"
    found = compared(tmp_path, "comparison/terms.csv", was, now)
    assert (found.rows_was, found.rows_now) == ((("garlic",),), (("mint",),))
    assert (found.columns_was, found.columns_now) == (("old",), ("new",))
    assert (found.n_cells, found.n_rows_was, found.n_rows_now) == (0, 1, 1)


def test_another_order_of_the_rows_is_told(tmp_path):
    was = "term,difference\ndill,0.1\ngarlic,0.2\n"
    now = "term,difference\ngarlic,0.2\ndill,0.1\n"
    found = compared(tmp_path, "comparison/terms.csv", was, now)
    assert found.reordered
    assert (found.n_cells, found.n_rows_was, found.n_rows_now) == (0, 0, 0)


def test_numbers_are_of_all_though_few_are_kept(tmp_path):
    rows = [f"t{number},{{}}" for number in range(KEPT + 50)]
    texts = ["\n".join(["term,difference", *(row.format(v) for row in rows), ""]) for v in "12"]
    found = compared(tmp_path, "comparison/terms.csv", *texts)
    assert found.n_cells == KEPT + 50
    assert len(found.cells) == KEPT


@given(st.data())
@settings(max_examples=60, deadline=None)
def test_as_many_cells_are_told_as_were_changed(data):
    n_rows, n_columns = data.draw(st.integers(1, 8)), data.draw(st.integers(1, 5))
    header = ["term", *(f"c{number}" for number in range(n_columns))]
    rows = [
        [f"t{row}", *(f"{row}.{column}" for column in range(n_columns))] for row in range(n_rows)
    ]
    places = st.tuples(st.integers(0, n_rows - 1), st.integers(1, n_columns))
    changed = data.draw(st.sets(places))
    other = [list(row) for row in rows]
    for row, column in changed:
        other[row][column] += "1"
    found = compare_sheets("new/table.csv", Sheet(header, rows), Sheet(header, other))
    assert {(cell.row, cell.column) for cell in found.cells} == {
        ((f"t{row}",), f"c{column - 1}") for row, column in changed
    }
    assert found.n_cells == len(changed)


@pytest.mark.parametrize(
    ("damaged", "reason"),
    [
        ("term,difference\ndill,0.1,9\n", "line 2 has 3 cells, the header 2"),
        (b"term,difference\ndill,\xff\n", "is not UTF-8 text"),
        ("", "is empty"),
        ("term,term\ndill,1\n", "has a column twice"),
        ('term,difference\ndill,"0.1\n', "line 2 is not CSV"),
    ],
)
def test_a_table_that_is_none_any_more_is_said_to_be_so(tmp_path, damaged, reason):
    whole = "term,difference\ndill,0.1\n"
    found = compared(tmp_path, "comparison/terms.csv", whole, damaged)
    assert found.problem.startswith(f"now: {reason}")
    found = compared(tmp_path, "comparison/terms.csv", damaged, whole)
    assert found.problem.startswith(f"was: {reason}")
    assert found.cells == ()


@pytest.mark.parametrize("table", [*TABLES, *OF_EDITIONS], ids=lambda table: table.path)
def test_every_declared_table_has_columns_that_name_its_rows(table):
    path = table.path.replace("*", "any")
    assert declared(path) is table
    candidates = key_candidates(path, table.names)
    assert candidates or KEYS[table.path] == ()
    assert set(KEYS.get(table.path, ())) <= set(table.names)


def test_what_is_not_declared_in_validation_is_taken_for_personal():
    assert is_personal("validation/sorts.csv")
    assert is_personal("validation/new.json")
    assert not is_personal("validation/flow.csv")
    assert not is_personal("tiers/new.csv")
