"""
Hands Snakemake's events to the launcher; found with `--logger felloe` on PYTHONPATH, not installed.

It writes lines for a program and leaves the display to the launcher, since only the launcher
outlives an engine that is killed or cannot be imported, and since what is shown is then plain code
that is tested without an engine. Where the launcher is not used, neither is this.
"""

import os
from logging import LogRecord

from felloe.launching.engine.events import (
    Cores,
    Event,
    Failed,
    Finished,
    Planned,
    Progress,
    Said,
    Started,
    line_of,
)
from felloe.launching.engine.parent import end_with_parent
from snakemake_interface_logger_plugins.base import LogHandlerBase
from snakemake_interface_logger_plugins.common import LogEvent

STANDARD_OUTPUT = 1
# announcements of what `Started` and `Failed` already say
UNUSED = {
    LogEvent.WORKFLOW_STARTED,
    LogEvent.JOB_STARTED,
    LogEvent.SHELLCMD,
    LogEvent.DEBUG_DAG,
    LogEvent.RULEGRAPH,
    LogEvent.GROUP_INFO,
}


class LogHandler(LogHandlerBase):
    """The handler that Snakemake looks for."""

    writes_to_stream = True  # in place of the engine's own output
    writes_to_file = False
    has_filter = True  # none: `--quiet` must not keep a failure from the launcher
    has_formatter = True
    needs_rulegraph = False

    def __post_init__(self) -> None:
        """Take the launcher's end for the engine's."""
        end_with_parent()

    def emit(self, record: LogRecord) -> None:
        """Write the record's event, if it is one that the launcher uses."""
        try:
            event = event_of(record)
            if event is not None:
                write_whole(line_of(event).encode())
        except Exception:  # anything raised here would end the thread that empties the queue
            self.handleError(record)


def event_of(record: LogRecord) -> Event | None:
    """Return the launcher's event for a record of Snakemake's logger, or None."""
    fields = record.__dict__
    match fields.get("event"):
        case LogEvent.RUN_INFO:
            jobs = {str(rule): int(count) for rule, count in fields["stats"].items()}
            jobs.pop("total", None)
            return Planned(jobs)
        case LogEvent.RESOURCES_INFO if "cores" in fields:
            return Cores(int(fields["cores"]))
        case LogEvent.JOB_INFO:
            wildcards = {str(name): str(value) for name, value in fields["wildcards"].items()}
            return Started(fields["jobid"], fields["rule_name"], wildcards, logs_of(fields["log"]))
        case LogEvent.JOB_FINISHED:
            return Finished(fields["job_id"])
        case LogEvent.PROGRESS:
            return Progress(fields["done"], fields["total"])
        case LogEvent.JOB_ERROR:
            return Failed(fields["rule_name"], logs_of(fields["log"]))
        case event if event in UNUSED:
            return None
        case _ if record.getMessage().endswith(": no backup found."):
            return None  # the first run of a study has nothing to put back
        case _:
            return Said(record.levelname, record.getMessage(), fields.get("exception", ""))


def logs_of(paths: list[object]) -> list[str]:
    """Return a job's log files as plain text."""
    return [str(path) for path in paths]


def write_whole(data: bytes) -> None:
    """Write to standard output at once, past the buffer that the engine's own prints use."""
    while data:
        data = data[os.write(STANDARD_OUTPUT, data) :]
