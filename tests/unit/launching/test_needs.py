"""What jobs ask a cluster for: more for larger studies, more after they were killed."""

from itertools import product

import pytest
from felloe.needs import GROWTH, Size, megabytes, minutes, read_needs, size_of
from felloe.provenance import SCRIPTS
from study_folder import PEOPLE, TERMS, write_folder, write_rows

TABLE = SCRIPTS.parent / "workflow" / "resources.csv"
DEMO = Size(terms=100, people=70, shown=100, replicates=10_000)
LARGE = Size(terms=1000, people=10_000, shown=100, replicates=1000)
OF_ONE_PLACE = {"megabytes": megabytes, "minutes": minutes}


@pytest.fixture(scope="module")
def needs():
    return read_needs(TABLE)


def test_the_table_names_every_step_once_with_both_kinds(needs):
    steps = {step for step, _ in needs}
    assert set(needs) == set(product(steps, ("megabytes", "seconds")))
    assert len(TABLE.read_text(encoding="utf-8").splitlines()) == len(needs) + 1
    assert steps <= {path.stem for path in SCRIPTS.glob("*.py")}


def test_no_number_is_below_nothing(needs):
    assert all(number >= 0 for factors in needs.values() for number in factors.values())


def test_what_a_step_is_asked_for_grows_with_every_side_of_a_study(needs):
    for step, _ in needs:
        for ask in OF_ONE_PLACE.values():
            assert ask(needs, step, [DEMO]) <= ask(needs, step, [LARGE])
            assert ask(needs, step, [LARGE, DEMO]) == ask(needs, step, [LARGE])
            assert [ask(needs, step, [DEMO], attempt) for attempt in (1, 2, 3)] == [
                factor * ask(needs, step, [DEMO]) for factor in (1, 2, 3)
            ]


def test_what_is_asked_for_is_the_sum_of_what_was_measured_and_more():
    # by hand: 200 terms, 300 people of 50 terms, 2,000 replicates
    size = Size(terms=200, people=300, shown=50, replicates=2000)
    grown = {"constant": 1, "terms_squared": 4, "placed": 1.5, "seen": 0.75, "redrawn": 4.75}
    assert size.growth() == grown
    for name in GROWTH:
        needs = {("step", kind): {**dict.fromkeys(GROWTH, 0.0), name: 1000.0} for kind in KINDS}
        assert megabytes(needs, "step", [size]) == 1500 * grown[name] + 200
        assert minutes(needs, "step", [size]) == -(-4000 * grown[name] // 60)


KINDS = ("megabytes", "seconds")


def test_a_step_that_nobody_measured_gets_something_to_run_with(needs):
    assert megabytes(needs, "no_such_step", [DEMO]) >= 1000
    assert minutes(needs, "no_such_step", [DEMO], attempt=2) >= 60
    assert megabytes(needs, "validate_sorts", []) >= 500  # of no study that is there


def test_a_studys_size_is_read_off_its_files(tmp_path):
    write_folder(tmp_path)
    assert size_of(tmp_path, 7) == Size(len(TERMS), len(PEOPLE), len(TERMS), 7)
    dealt = [[person, term] for person in PEOPLE for term in TERMS[:2]]
    write_rows(tmp_path / "design.csv", [["participant", "term"], *dealt])
    assert size_of(tmp_path, 7) == Size(len(TERMS), len(PEOPLE), 2, 7)
    assert size_of(tmp_path / "gone", 7) == Size(replicates=7)
