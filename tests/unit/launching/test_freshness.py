"""What has to run, judged by content: every way in which results can be out of date."""

import os
from dataclasses import replace

import pytest
from felloe import ledger
from felloe.launching.planning import freshness
from felloe.launching.planning.freshness import stale_jobs, tampered, with_followers
from unit_jobs import COUNT, DRAW, GATHER, JOBS, PART, TELL, make_all, run, write


@pytest.fixture
def made(tmp_path, monkeypatch):
    """All four jobs have run; what passes is gone."""
    make_all(tmp_path, monkeypatch)


def found(jobs=None):
    jobs = jobs or JOBS
    stale = stale_jobs(jobs, {key: ledger.read_entry(key) for key in jobs})
    return {key: [(each.code, each.about) for each in reasons] for key, reasons in stale.items()}


def test_nothing_has_to_run_after_everything_has(made):
    assert found() == {}


def test_age_says_nothing(made):
    os.utime("far/sorts.csv", (4e9, 4e9))
    os.utime("results/a/report.html", (1, 1))
    assert found() == {}


def test_an_input_that_changed_under_an_old_age_is_noticed(made):
    before = os.stat("far/sorts.csv").st_mtime
    write("far/sorts.csv", "who,whom\n")
    os.utime("far/sorts.csv", (before, before))
    assert found() == {COUNT: [("input", ("study/sorts.csv",))]}


def test_a_result_changed_by_hand_is_noticed_with_who_read_it(made):
    write("results/a/support.csv", "keep_apart")
    assert found() == {
        GATHER: [("changed", ("results/a/support.csv",))],
        TELL: [("input", ("results/a/support.csv",))],
    }


def test_a_result_that_is_gone_is_noticed(made):
    os.unlink("results/a/counts.csv")
    stale = found()
    assert stale[COUNT] == [("lost", ("results/a/counts.csv",))]
    assert tampered(stale_jobs(JOBS, {k: ledger.read_entry(k) for k in JOBS})) == [
        "results/a/counts.csv"
    ]


def test_a_job_that_did_not_end_is_told_from_tampering(made):
    os.unlink(GATHER)
    assert found() == {GATHER: [("unfinished", ("results/a/support.csv",))]}
    os.unlink("results/a/support.csv")
    assert found()[GATHER] == [("new", ())]


def test_what_was_never_written_is_not_called_missing(made):
    more = {**JOBS, TELL: replace(JOBS[TELL], outputs=[*JOBS[TELL].outputs, "results/a/new.csv"])}
    assert found(more) == {TELL: [("new", ("results/a/new.csv",))]}


def test_a_passing_file_that_was_changed_is_made_anew(made):
    write(PART, "by hand")
    assert found()[DRAW] == [("changed", (PART,))]


def test_another_setting_and_other_code_are_noticed(made):
    changed = dict(JOBS)
    changed[DRAW] = replace(JOBS[DRAW], settings={"seed": 2})
    changed[TELL] = replace(JOBS[TELL], code="other")
    assert found(changed) == {DRAW: [("settings", ("seed",))], TELL: [("code", ())]}


def test_a_file_more_or_less_among_the_inputs_is_noticed(made):
    write("far/names.csv", "tier,anchor,name\n")
    more = {**JOBS, COUNT: replace(JOBS[COUNT], inputs=["far/sorts.csv", "far/names.csv"])}
    assert found(more) == {COUNT: [("input", ("study/names.csv",))]}
    run(more[COUNT])
    assert found(more) == {DRAW: [("input", ("results/a/counts.csv",))]}
    assert found()[COUNT] == [("input", ("study/names.csv",))]


def test_a_copy_elsewhere_is_as_fresh(made, tmp_path, monkeypatch):
    os.rename("far", "near")
    moved = {**JOBS, COUNT: replace(JOBS[COUNT], inputs=["near/sorts.csv"])}
    assert found(moved) == {}


def test_settings_are_named_by_their_dotted_keys():
    was = {"tiers": {"classes": 3, "names": "x"}, "seed": 1}
    now = {"tiers": {"classes": 4, "names": "x"}, "more": 1, "seed": 1}
    assert list(freshness.differing(was, now)) == ["tiers.classes", "more"]


def test_what_waits_runs_too_and_so_does_the_maker_of_what_passed(made):
    assert with_followers(JOBS, [GATHER]) == {DRAW, GATHER, TELL}
    assert with_followers(JOBS, [TELL]) == {TELL}
    assert with_followers(JOBS, []) == set()
