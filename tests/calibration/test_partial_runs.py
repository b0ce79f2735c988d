"""What the calibration of sorts in parts draws, keeps and counts."""

import numpy as np
import pytest
from calibration import partial_table, run_partial
from calibration.cases import Case
from calibration.partial_cells import (
    CHANCE,
    DOSSIER,
    EDITIONS,
    EQUAL,
    SCREENING,
    Cell,
    cells,
    designed,
)
from calibration.partial_runs import simulate

SMALL = Case("4 of 40 moved", (10, 10), 40, moved=4)


def numbers_shown(cell):
    rng = np.random.default_rng(0)
    return [designed(cell, rng, 6, side).sum(axis=1).tolist() for side in (0, 1)]


def test_people_are_shown_as_many_terms_as_the_cell_says():
    assert numbers_shown(Cell(DOSSIER, "places", EQUAL, (14, 26))) == [[14, 26] * 3] * 2
    apart = Cell(DOSSIER, "places", EQUAL, (14, 26), by_population=True)
    assert numbers_shown(apart) == [[14] * 6, [26] * 6]
    assert numbers_shown(Cell(DOSSIER, "places", EQUAL, (40, 40))) == [[40] * 6] * 2


def test_no_two_cells_share_their_runs():
    assert len({(cell.source, cell.name) for cell in cells()}) == len(cells())


@pytest.mark.parametrize("kind", [EDITIONS, SCREENING, CHANCE])
def test_a_run_is_the_same_whenever_it_is_asked(kind):
    task = Cell(kind, "places", SMALL, (14, 26)), 3, "code"
    assert simulate(task) == simulate(task)


def test_people_who_sort_at_random_have_no_chance_line_but_their_own():
    found = [simulate((Cell(CHANCE, "places", SMALL, (40, 40)), run, ""))["line"] for run in (0, 1)]
    assert found == pytest.approx([0.0, 0.0], abs=1e-12)  # dealing whole piles changes no mean


def test_two_editions_of_careful_people_find_what_moved():
    case = Case("4 of 40 moved, careful", (40, 40), 40, moved=4, noise=(0.3, 0.3))
    found = simulate((Cell(EDITIONS, "places", case, (40, 40)), 0, ""))
    grades = np.array(found["grades"])
    assert (grades[found["moved"]] == "robust").sum() >= 3
    assert (np.delete(grades, found["moved"]) == "none").mean() > 0.9


def test_a_share_has_the_interval_that_wilson_gives():
    # 9 of 100: 0.0481 to 0.1623 (R 4.3, prop.test without correction; from memory)
    assert partial_table.share_of(9, 100) == "9.0 (4.8 to 16.2)"
    assert partial_table.share([]) == "-"


def test_editions_are_counted_term_by_term():
    records = [
        {"moved": [0], "grades": ["robust", "none", "possible", "none"]},
        {"moved": [1], "grades": ["robust", "noise", "none", "no_correspondence"]},
    ]
    row = partial_table.editions_row(Cell(EDITIONS, "places", SMALL, (20, 20)), records)
    shares = [float(cell.split(" ")[0]) for cell in row[3:]]
    assert shares == pytest.approx([50, 0, 50, 100 / 6, 100 / 6, 0, 50, 12.5], abs=0.06)


def test_who_is_left_out_is_counted_by_number_and_rule():
    records = [
        {"honest": [[6, 3], [12, 3]], "lost": [[6, "all_apart", 1]]},
        {"honest": [[6, 3], [12, 3]], "lost": [[6, "all_apart", 1], [6, "order_following", 1]]},
    ]
    rows = list(partial_table.screening_rows(cells()[-1], records))
    assert [row[2:4] for row in rows] == [["6", "6"], ["12", "6"]]
    assert rows[0][4].startswith("50.0 (")
    assert rows[0][5] == "all_apart 2, order_following 1"
    assert rows[1][5] == "-"


def test_an_interval_that_ends_at_one_holds_whatever_lies_above_its_lower_end():
    judged = dict.fromkeys(("p_unrestricted", "p_adjusted", "p_matched", "p_shape"), 0.5)
    base = simulate((Cell(DOSSIER, "places", SMALL, (14, 26)), 0, ""))
    told = [
        {**base, **judged, "corrected": ends, "truth": truth}
        for ends, truth in (
            ([0.8, 1.02, 1.0], 1.0),  # cut at 1: holds
            ([0.8, 0.9, 0.99], 1.0),
            ([0.4, 0.5, 0.6], 0.55),  # holds
            ([0.4, 0.5, 0.6], 0.39),
        )
    ]
    row = partial_table.answer_row(Cell(DOSSIER, "places", SMALL, (14, 26)), told)
    assert row[8].startswith("50.0 (")


def test_runs_hang_on_the_code_behind_numbers_and_on_nothing_else():
    behind = set(run_partial.modules_behind())
    assert {
        "felloe.ground.people.pairs", "felloe.ground.people.counts", "felloe.ground.people.halves",
        "felloe.comparison.correlating.corrected", "felloe.comparison.exchanging.matching",
        "felloe.clustering.replicates.draw_distances", "felloe.clustering.replicates.null",
        "felloe.editions.correspondence", "felloe.validation.screened.screening",
        "felloe.validation.screened.task", "calibration.partial_runs", "partial_example",
    } <= behind  # fmt: skip
    apart = ("words", "intake", "report", "files", "verdict", "provenance", "settings_file")
    assert not [name for name in behind if any(word in name for word in apart)]


def test_cells_of_another_make_or_number_have_another_code():
    cell = Cell(EDITIONS, "places", EQUAL, (20, 20))
    others = Cell(EDITIONS, "nested", EQUAL, (20, 20)), Cell(EDITIONS, "places", EQUAL, (14, 26))
    codes = [run_partial.code_of(one) for one in (cell, *others)]
    assert len(set(codes)) == 3
