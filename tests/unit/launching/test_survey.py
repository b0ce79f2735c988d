"""What the survey has the engine do: nothing that passes is asked for, and ages tell the truth."""

import os
import types
from dataclasses import replace

import pytest
from felloe.launching.planning.plan import Plan
from felloe.launching.planning.survey import Survey, begin, goals, mean_seconds, rules_after
from felloe.launching.planning.surveyor import LINES, would_run
from felloe.launching.planning.surveyor import Survey as Report
from unit_jobs import COUNT, DRAW, GATHER, JOBS, PART, TELL, make_all, write


@pytest.fixture
def made(tmp_path, monkeypatch):
    """All four jobs have run; what passes is gone."""
    make_all(tmp_path, monkeypatch)


def survey(jobs=None):
    return Survey(Plan(jobs or JOBS, False), [])


def test_a_job_is_asked_for_by_what_it_writes():
    assert goals(JOBS, [COUNT, TELL]) == ["results/a/counts.csv", "results/a/report.html"]


def test_what_passes_is_not_asked_for_but_who_reads_it(made):
    assert goals(JOBS, [DRAW]) == ["results/a/support.csv"]


def test_the_first_are_those_that_wait_for_nothing_stale(made):
    write("results/a/support.csv", "keep_apart")
    found = survey()
    assert found.frontier == [GATHER]
    assert list(found.stale) == [GATHER, TELL]
    os.unlink("results/a/report.html")
    os.unlink("results/a/counts.csv")
    assert survey().frontier == [COUNT]


def test_what_stands_is_made_younger_than_what_it_was_made_from(made):
    os.utime("far/sorts.csv", (4e9, 4e9))
    write("results/a/report.html", "by hand")
    os.utime("results/a/report.html", (1, 1))
    survey().touch([TELL])
    assert os.stat("results/a/counts.csv").st_mtime >= 4e9
    assert os.stat("results/a/report.html").st_mtime == 1


def test_what_an_interrupted_run_left_of_passing_files_goes(made):
    write(PART, "half")
    survey().touch([GATHER])
    assert os.path.exists(PART)
    survey().touch([DRAW])
    assert not os.path.exists(PART)
    write(PART, "left")
    survey().touch([TELL])
    assert not os.path.exists(PART)


def test_entries_of_jobs_that_are_no_more_go_with_a_whole_plan(made):
    write("results/a/ledger/gone.json", "{}")
    Survey(Plan(JOBS, False, whole=False), []).forget()
    assert os.path.exists("results/a/ledger/gone.json")
    survey().forget()
    assert not os.path.exists("results/a/ledger/gone.json")
    assert all(os.path.exists(key) for key in JOBS)


def test_what_an_unfinished_run_was_to_make_is_not_called_taken_away(made):
    os.makedirs(".snakemake")
    survey().touch([TELL])
    os.unlink("results/a/report.html")
    assert [each.code for each in survey().stale[TELL]] == ["unfinished"]
    begin(())
    assert [each.code for each in survey().stale[TELL]] == ["lost"]


def test_a_folder_in_the_place_of_a_result_is_set_aside(made):
    os.unlink("results/a/report.html")
    os.makedirs("results/a/report.html/mine")
    survey().touch([TELL])
    assert not os.path.exists("results/a/report.html")
    assert os.path.isdir("results/a/report.html.set-aside/mine")


def test_results_in_a_folder_of_any_name_are_not_taken_for_entries(made):
    renamed = {
        key.replace("results/a", "results/ledger"): replace(
            job, entry=key.replace("results/a", "results/ledger")
        )
        for key, job in JOBS.items()
    }
    os.makedirs("results/ledger/circle")
    write("results/ledger/circle/map.json", "{}")
    Survey(Plan(renamed, False), []).forget()
    assert os.path.exists("results/ledger/circle/map.json")


def test_a_round_is_worth_its_start_where_enough_may_be_spared(made):
    write("far/sorts.csv", "others")
    more = dict(JOBS)
    for at in range(9):
        tell = replace(
            JOBS[TELL], entry=f"results/a/ledger/{at}.json", outputs=[f"results/a/{at}.html"]
        )
        more[tell.entry] = tell
    assert not survey({key: JOBS[key] for key in (COUNT, DRAW, GATHER)}).worth_a_round()
    few = survey(more)
    few.stale = {COUNT: few.stale[COUNT]}
    few.frontier = few.first()
    assert few.worth_a_round()
    changed = survey({**more, COUNT: replace(JOBS[COUNT], settings={"minimum": 3})})
    changed.stale = {COUNT: changed.stale[COUNT]}
    assert not changed.worth_a_round()


def report(**changes):
    fields = {
        "stale": [], "tampered": [], "forced": [], "first": [], "worth_a_round": False,
        "running": {}, "seconds": {}, "after": {}, "following": {}, "jobs": 70,
        "asked_for": False, "code": "c",
        "promised": [], "left_over": [],
        "other_versions": "",
    }  # fmt: skip
    return Report(**{**fields, **changes})


def test_what_would_run_is_told_with_its_reasons_on_one_screen():
    stale = [f"draw {at}: its code changed" for at in range(100)]
    text = would_run(
        report(
            stale=stale,
            running={"draw": 100, "write_report": 2, "all": 1},
            following={"write_report": 2},
        )
    )
    assert "103 of 70" in text
    assert "draw 0: its code changed" in text
    assert "write_report" in text
    assert len(text.splitlines()) <= LINES + 6


def test_nothing_would_run_is_said():
    assert would_run(report()) == "Nothing would run: every result is up to date."


def test_the_seconds_of_a_step_are_the_mean_of_its_jobs_that_run_and_were_measured():
    jobs = {
        COUNT: replace(JOBS[COUNT], seconds=2.0),
        DRAW: replace(JOBS[DRAW], logs=JOBS[COUNT].logs, seconds=5.0),
        TELL: replace(JOBS[TELL], seconds=7.0),
        GATHER: JOBS[GATHER],
    }
    step = mean_seconds(jobs, [COUNT])
    assert list(step.values()) == [2.0]
    assert mean_seconds(jobs, [COUNT, DRAW, GATHER]) == dict.fromkeys(step, 3.5)


def test_the_survey_tells_which_rules_wait_for_which():
    def job(rule, *upstream):
        return types.SimpleNamespace(rule=rule, upstream=list(upstream))

    jobs = {
        "1": job("read"), "2": job("read"), "3": job("tree", "1"), "4": job("tree", "3", "2"),
        "5": job("tell", "4", "1", "away"), "away": job("old"),
    }  # fmt: skip
    after = rules_after(jobs, {"1", "2", "3", "4", "5"})
    assert after == {"read": ["tree", "tell"], "tree": ["tell"], "tell": []}
    assert list(after) == ["read", "tree", "tell"]
