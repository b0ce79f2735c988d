"""The published counts: what is read is what was counted, and the distances follow from it."""

import numpy as np
import pytest
from felloe.ground.people.sorts import UNPLACED, Sorts
from felloe.ground.terms import DifferentTerms, Terms
from felloe.matrices.counts import counts_by_population
from felloe.matrices.distances import chart_distances, sorts_distances
from felloe.matrices.steps.count_cooccurrence import main as count_cooccurrence
from felloe.matrices.tables import BOTH, TOGETHER, read_counts, write_counts
from felloe.validation.analysed import write_analysed

NAMES = ["makers", "panel", "pooled"]


@pytest.fixture(scope="module")
def sorts():
    rng = np.random.default_rng(7)
    piles = rng.integers(1, 5, size=(14, 10))
    piles[rng.random(piles.shape) < 0.05] = UNPLACED
    people = tuple(f"p{number:02d}" for number in range(14))
    return Sorts(people, ("makers", "panel") * 7, Terms("abcdefghij"), piles)


@pytest.fixture(scope="module")
def folder(sorts, tmp_path_factory):
    folder = tmp_path_factory.mktemp("matrices")
    write_analysed(folder / "analysed.csv", sorts)
    kinds = {
        kind: [str(folder / f"{name}.{kind}.csv") for name in NAMES]
        for kind in ("together", "both")
    }
    count_cooccurrence(sorts=str(folder / "analysed.csv"), populations=NAMES, **kinds)
    return folder


def counts_read(folder, name):
    return read_counts(folder / f"{name}.together.csv", folder / f"{name}.both.csv")


@pytest.mark.parametrize("name", NAMES)
def test_what_is_read_is_what_was_counted(sorts, folder, name):
    found, counted = counts_read(folder, name), counts_by_population(sorts)[name]
    assert found.terms == counted.terms
    assert (found.together == counted.together).all()
    assert (found.both == counted.both).all()


@pytest.mark.parametrize("name", NAMES)
def test_what_was_read_is_written_as_the_same_bytes(folder, tmp_path, name):
    again = [tmp_path / "together.csv", tmp_path / "both.csv"]
    write_counts(counts_read(folder, name), *again)
    for path, kind in zip(again, ("together", "both"), strict=True):
        assert path.read_bytes() == (folder / f"{name}.{kind}.csv").read_bytes()


@pytest.mark.parametrize(("table", "kind"), [(TOGETHER, "together"), (BOTH, "both")])
def test_counts_read_back_by_their_declaration(folder, tmp_path, table, kind):
    path = folder / f"pooled.{kind}.csv"
    rows = table.read(path)
    terms = [row["term"] for row in rows]
    assert all(type(row[term]) is int for row in rows for term in terms)
    table.write(tmp_path / "again.csv", rows, terms)
    assert (tmp_path / "again.csv").read_bytes() == path.read_bytes()


@pytest.mark.parametrize(
    ("source", "weights"), [("pooled", "plain"), ("pooled", "equal"), ("panel", "plain")]
)
def test_distances_of_the_files_are_those_of_the_sorts(sorts, folder, source, weights):
    published = {name: counts_read(folder, name) for name in NAMES}
    found = chart_distances(published, source, weights)
    assert (found.D == sorts_distances(sorts, source, weights).D).all()


def test_distances_are_one_minus_together_over_both_of_the_files(sorts, folder):
    published = counts_read(folder, "pooled")
    expected = np.round(1 - published.together / published.both, 12)
    np.fill_diagonal(expected, 0.0)
    assert (expected == sorts_distances(sorts, "pooled", "plain").D).all()


def test_matrices_of_other_terms_are_no_counts(folder, tmp_path, sorts):
    fewer = counts_by_population(sorts)["pooled"].on("abc")
    write_counts(fewer, tmp_path / "few.together.csv", tmp_path / "few.both.csv")
    with pytest.raises(DifferentTerms, match="'d'"):
        read_counts(folder / "pooled.together.csv", tmp_path / "few.both.csv")
