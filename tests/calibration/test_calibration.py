"""
The calibration of the dossier at reduced size.

The full size is `python tests/calibration/run_calibration.py`; its table stands in `table.md`. The
limits here are what an exact test would pass in 999 of 1,000 runs.
"""

import pytest
from calibration import run_calibration
from calibration.sorting_people import CASES
from scipy.stats import binom

pytestmark = pytest.mark.slow
FIRST, OTHERS = 60, 25


@pytest.fixture(scope="module")
def outcomes():
    return {
        case.name: run_calibration.outcomes_of(number, FIRST if number == 0 else OTHERS)
        for number, case in enumerate(CASES)
    }


def share(outcomes, verdict):
    return sum(one.verdict == verdict for one in outcomes) / len(outcomes)


def test_adjusted_p_is_uniform_under_one_population(outcomes):
    p_values = [one.p_adjusted for one in outcomes["one population"]]
    assert run_calibration.uniformity(p_values) > 0.001


@pytest.mark.parametrize("case", [case.name for case in CASES if not case.moved])
def test_adjusted_test_rejects_one_structure_no_more_often_than_its_level_allows(outcomes, case):
    rejected = run_calibration.rejections([one.p_adjusted for one in outcomes[case]])
    assert rejected <= binom.ppf(0.999, len(outcomes[case]), run_calibration.ALPHA)


@pytest.mark.parametrize(
    "case", [case.name for case in CASES if not case.moved and (case.lumpers or case.shift)]
)
def test_unrestricted_test_takes_granularity_for_structure(outcomes, case):
    rejected = run_calibration.rejections([one.p_unrestricted for one in outcomes[case]])
    assert rejected > len(outcomes[case]) / 2


@pytest.mark.parametrize("case", [case.name for case in CASES if case.moved])
def test_adjusted_test_finds_a_tenth_of_the_terms_moved(outcomes, case):
    rejected = run_calibration.rejections([one.p_adjusted for one in outcomes[case]])
    assert rejected >= 0.8 * len(outcomes[case])


@pytest.mark.parametrize("case", [case.name for case in CASES if case.moved])
def test_populations_with_a_tenth_of_the_terms_moved_are_never_pooled_without_notes(outcomes, case):
    assert share(outcomes[case], "pool") == 0.0
    assert share(outcomes[case], "keep_apart") >= 0.8


@pytest.mark.parametrize("case", [case.name for case in CASES if not case.moved])
def test_populations_of_one_structure_are_seldom_kept_apart(outcomes, case):
    assert share(outcomes[case], "keep_apart") <= 0.2
