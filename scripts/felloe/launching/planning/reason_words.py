"""Why a job runs, in words."""

from collections.abc import Mapping, Sequence

from felloe.launching.engine.failure import named
from felloe.launching.planning.freshness import (
    CHANGED,
    CODE,
    INPUT,
    LOST,
    NEW,
    SETTINGS,
    UNFINISHED,
    Reason,
)
from felloe.launching.planning.plan import Job

MISSING = "{} is missing"
MOST = 3  # files or settings that are named in a row
SAID = {
    LOST: "{} missing",
    CHANGED: "{} changed since it was written",
    UNFINISHED: "was not finished, or is not in the ledger",
    NEW: "was never made",
    INPUT: "{} is another than it read",
    SETTINGS: "setting {} changed",
    CODE: "its code changed",
}


def several(names: Sequence[str]) -> str:
    """Return some names in a row, and how many more there are."""
    shown = ", ".join(names[:MOST])
    return shown if len(names) <= MOST else f"{shown} and {len(names) - MOST} more"


def reason(of: Reason) -> str:
    """Return one reason."""
    gone = of.code == INPUT and of.missing
    return (MISSING if gone else SAID[of.code]).format(several(of.about))


def line(job: Job, reasons: Sequence[Reason]) -> str:
    """Return a job and why it runs."""
    where = [named(job.rule, job.logs), *job.wildcards.values()]
    return f"{' '.join(where)}: {'; '.join(map(reason, reasons))}"


def tampered(path: str, there: bool) -> str:
    """Return what became of a result that somebody touched."""
    was = "is not as it was written" if there else "is missing"
    return f"{path} {was}; it is made anew."


def other_versions(apart: Mapping[str, tuple[set[str], str]]) -> str:
    """Return which packages results were made with in other versions; empty where none."""
    if not apart:
        return ""
    listed = [f"{name} {', '.join(sorted(was))} (here {now})" for name, (was, now) in apart.items()]
    return (
        f"Some results were made with {several(sorted(listed))}; they stay as they are. "
        "With --forceall everything is made anew."
    )
