"""What the table of two editions says became of a term, read as steps."""

import pytest
from felloe.timeline.paths import Step
from felloe.timeline.reading import read_between, steps_of

ROW = {"term": "acid", "change": "kept", "term_older": "acid", "reason": ""}


@pytest.mark.parametrize(
    ("cells", "expected"),
    [
        ({}, [Step("acid", "acid", "kept")]),
        ({"change": "renamed", "term_older": "sour"}, [Step("sour", "acid", "renamed")]),
        (
            {"change": "redefined", "reason": "wider now"},
            [Step("acid", "acid", "redefined", "wider now")],
        ),
        ({"change": "split", "term_older": "sour"}, [Step("sour", "acid", "split")]),
        (
            {"change": "merged", "term_older": "sharp;soft"},
            [Step("sharp", "acid", "merged"), Step("soft", "acid", "merged")],
        ),
        ({"change": "new", "term_older": ""}, []),
        ({"change": "retired"}, []),
    ],
)
def test_a_row_is_a_step_for_each_older_term(cells, expected):
    assert steps_of({**ROW, **cells}) == expected


def test_a_table_without_reasons_has_none():
    row = {name: value for name, value in ROW.items() if name != "reason"}
    assert steps_of(row) == [Step("acid", "acid", "kept")]


def test_classes_bounds_and_correspondence_come_from_the_record(tmp_path):
    from felloe.editions.tables import TERMS

    TERMS.write(tmp_path / "terms.csv", [dict.fromkeys(TERMS.names) | ROW_OF_TABLE])
    record = {
        "migrations": {"bound_robust": 0.8, "bound_possible": 0.6},
        "correspondence": {"level": 0.01, "found": True},
        "classes": [{"older": "a", "newer": "x", "relation": "stayed"}],
    }
    found = read_between(tmp_path / "terms.csv", record)
    assert found.steps == (Step("acid", "acid", "kept"),)
    assert found.relations == {("a", "x"): "stayed"}
    assert (found.bounds.robust, found.bounds.possible, found.bounds.correspondence) == (
        0.8, 0.6, 0.01,
    )  # fmt: skip
    assert found.found


ROW_OF_TABLE = {"term": "acid", "change": "kept", "term_older": "acid"}
