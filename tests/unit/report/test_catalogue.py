import pytest
from felloe.report.catalogue import TABLES, table_of


def test_a_table_is_found_by_its_path():
    assert table_of("circle/colours.csv").path == "circle/colours.csv"


def test_a_table_of_one_population_is_found_by_its_pattern():
    assert table_of("matrices/judges.both.csv").path == "matrices/*.both.csv"


def test_a_table_that_no_stage_declares_is_refused():
    with pytest.raises(KeyError, match=r"circle/unheard\.csv"):
        table_of("circle/unheard.csv")


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.path)
def test_no_two_declarations_fit_one_table(table):
    assert [other.path for other in TABLES if other.fits(table.path)] == [table.path]


def test_every_column_says_what_it_means():
    mute = [
        (table.path, column.name)
        for table in TABLES
        for column in (*table.columns, *([table.others] if table.others else []))
        if not column.meaning.strip()
    ]
    assert not mute


def test_no_table_has_a_column_twice():
    assert not [table.path for table in TABLES if len(set(table.names)) < len(table.names)]
