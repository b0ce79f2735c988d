"""The tables of the dossier: what is written reads back, and comes from the counts."""

import pytest
from comparison_example import (
    MOVED,
    ONE_POPULATION,
    dossier_of,
    record_of,
    sorts_of,
)
from felloe.comparison.rows import pair_rows, write_tables
from felloe.comparison.tables import CONSEQUENCE, PAIRS, SPLITS, TABLES, TERMS
from felloe.ground.people.counts import counts_of
from felloe.ground.terms import DifferentTerms
from felloe.matrices.counts import counts_by_population

BY_NAME = {table.path.removeprefix("comparison/"): table for table in TABLES}


def written(folder, sorts):
    dossier = dossier_of(sorts)
    paths = {name.removesuffix(".csv"): folder / name for name in BY_NAME}
    write_tables(dossier, counts_by_population(sorts), paths)
    return dossier


@pytest.fixture(scope="module")
def different(tmp_path_factory):
    folder, sorts = tmp_path_factory.mktemp("different"), sorts_of(MOVED, 2)
    return folder, sorts, written(folder, sorts)


@pytest.fixture(scope="module")
def single(tmp_path_factory):
    folder = tmp_path_factory.mktemp("single")
    written(folder, sorts_of(ONE_POPULATION, 3, names=("makers", "makers")))
    return folder


@pytest.mark.parametrize("name", BY_NAME)
def test_what_is_read_writes_the_same_bytes(different, tmp_path, name):
    table, path = BY_NAME[name], different[0] / name
    rows = table.read(path)
    table.write(tmp_path / name, rows, list(rows[0])[len(table.columns) :])
    assert (tmp_path / name).read_bytes() == path.read_bytes()


@pytest.mark.parametrize(
    ("table", "n_rows"), [(TERMS, 60), (PAIRS, 60 * 59 / 2), (SPLITS, 40), (CONSEQUENCE, 60)]
)
def test_tables_have_a_row_for_every_term_pair_and_split(different, table, n_rows):
    assert len(table.read(different[0] / table.path.removeprefix("comparison/"))) == n_rows


@pytest.mark.parametrize("table", [TERMS, PAIRS, SPLITS])
def test_one_population_has_no_differences(single, table):
    assert table.read(single / table.path.removeprefix("comparison/")) == []


def test_every_chart_that_is_compared_has_its_groups(different):
    row = CONSEQUENCE.read(different[0] / "consequence.csv")[0]
    names = ("makers", "panel", "pooled", "pooled+equal")
    assert list(row)[4:] == [f"{tier}_{name}" for name in names for tier in ("class", "subclass")]


def test_places_number_the_terms_from_one(different):
    rows = CONSEQUENCE.read(different[0] / "consequence.csv")
    assert sorted(row["position"] for row in rows) == list(range(1, 61))


def test_terms_that_change_class_are_the_same_in_record_and_table(different):
    folder, sorts, dossier = different
    rows = CONSEQUENCE.read(folder / "consequence.csv")
    listed = record_of(dossier, sorts)["consequence"]["class"]["changing"]
    assert listed
    assert listed == [row["term"] for row in rows if row["changes_class"]]


def test_shares_of_pairs_are_those_of_the_published_counts(different):
    folder, sorts, _ = different
    one, other = (counts_of(sorts.of(name)) for name in ("makers", "panel"))
    for row in PAIRS.read(folder / "pairs.csv"):
        i, j = sorts.terms.places([row["term_a"], row["term_b"]])
        assert row["share_first"] == one.together[i, j] / one.both[i, j]
        assert row["share_second"] == other.together[i, j] / other.both[i, j]
        assert row["difference"] == pytest.approx(row["share_first"] - row["share_second"])


def test_counts_of_other_terms_are_refused(different):
    _, sorts, dossier = different
    counts = [counts_of(sorts.of(name)).on(sorts.terms[::-1]) for name in ("makers", "panel")]
    with pytest.raises(DifferentTerms, match="the comparison and the counts"):
        next(pair_rows(dossier.decisive, *counts))
