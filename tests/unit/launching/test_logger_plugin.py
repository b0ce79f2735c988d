"""Snakemake's records become the launcher's events, and nothing that it says is left out."""

import logging

import pytest
from felloe.launching.engine.events import (
    Cores,
    Failed,
    Finished,
    Planned,
    Progress,
    Said,
    Started,
    line_of,
    read_line,
)
from snakemake_interface_logger_plugins.common import LogEvent
from snakemake_logger_plugin_felloe import LogHandler, event_of


def record(text=None, level=logging.INFO, **fields):
    return logging.makeLogRecord({"msg": text, "levelno": level, **fields})


# Fields of the records of Snakemake 9.27.1 (read off a run), those that nobody uses left out.
RECORDS = [
    (
        record(event=LogEvent.RUN_INFO, stats={"make": 2, "all": 1, "total": 3}),
        Planned({"make": 2, "all": 1}),
    ),
    (record(event=LogEvent.RESOURCES_INFO, cores=2), Cores(2)),
    (
        record(
            event=LogEvent.JOB_INFO,
            jobid=2,
            rule_name="make",
            log=["logs/make/b.log"],
            wildcards={"x": "b"},
        ),
        Started(2, "make", {"x": "b"}, ["logs/make/b.log"]),
    ),
    (record(event=LogEvent.JOB_FINISHED, job_id=2), Finished(2)),
    (record(event=LogEvent.PROGRESS, done=1, total=3), Progress(1, 3)),
    (
        record(event=LogEvent.JOB_ERROR, rule_name="make", log=["logs/make/a.log"], jobid=1),
        Failed("make", ["logs/make/a.log"]),
    ),
    (record(event=LogEvent.SHELLCMD, shellcmd=None), None),
]


@pytest.mark.parametrize(("given", "event"), RECORDS)
def test_a_record_becomes_the_event_it_is(given, event):
    assert event_of(given) == event


@pytest.mark.parametrize("level", ["INFO", "WARNING", "ERROR", "CRITICAL"])
def test_words_without_an_event_of_their_own_are_handed_on(level):
    given = record("odd", logging.getLevelName(level), levelname=level)
    assert event_of(given) == Said(level, "odd")


def test_an_exception_is_handed_on_with_its_class():
    given = record("KeyError: 1", levelname="ERROR", event=LogEvent.ERROR, exception="KeyError")
    assert event_of(given) == Said("ERROR", "KeyError: 1", "KeyError")


def test_an_event_of_a_later_engine_is_handed_on_as_words():
    given = record("something new", levelname="ERROR", event="new_event")
    assert event_of(given) == Said("ERROR", "something new")


def test_the_handler_writes_the_line_of_an_event_to_standard_output(capfd):
    LogHandler(None, None).emit(record(event=LogEvent.JOB_FINISHED, job_id=2))
    assert capfd.readouterr().out == line_of(Finished(2))


def test_a_record_that_cannot_be_read_is_complained_of_and_does_not_stop_the_handler(capfd):
    LogHandler(None, None).emit(record(event=LogEvent.PROGRESS))
    captured = capfd.readouterr()
    assert captured.out == ""
    assert "KeyError: 'done'" in captured.err


def test_being_quiet_does_not_keep_a_failure_from_the_launcher():
    # Snakemake puts its filter, which heeds --quiet, on handlers that have none of their own
    assert LogHandler(None, None).has_filter
    assert not LogHandler(None, None).filters


def test_a_line_without_an_event_is_left_as_it_is():
    assert read_line("words of a library\n") == ("words of a library\n", None)
