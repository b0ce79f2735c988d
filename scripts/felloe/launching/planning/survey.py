"""
Tell the launcher what has to run and why, before Snakemake runs anything.

A process of its own, in the environment's Python: it checks settings and headers, lets Snakemake
plan, and holds the results against the ledger. It answers a JSON object a line on standard output,
the first unasked, then one for every line on standard input: `first` and `all` make young what is
not going to be run then, `again` looks at the disk once more.
"""

import json
import math
import os
import sys
import time
from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from contextlib import redirect_stdout
from pathlib import Path
from typing import Any

sys.path.append(str(Path(__file__).resolve().parents[3]))

from felloe import ledger
from felloe.launching.planning import preflight, reason_words, stale
from felloe.launching.planning.freshness import (
    CHANGED,
    CODE,
    INPUT,
    LOST,
    NEW,
    UNFINISHED,
    Reason,
    stale_jobs,
    tampered,
    with_followers,
)
from felloe.launching.planning.plan import Job, Plan, planned
from felloe.versions import package_versions, project_code

# after these a step may well write what it wrote before, and spare all that wait for it
SPARING = {LOST, CHANGED, CODE, INPUT, UNFINISHED}
BEGUN = Path(".snakemake") / "felloe.begun"
WORTH_A_ROUND = 3  # jobs that may be spared; fewer cost less than another start of the engine


def main(configfiles: Sequence[str], words: Sequence[str]) -> int:
    """Check, plan, answer; return 1 for a fault of the study, 3 where nothing could be planned."""
    if preflight.main(configfiles):
        return 1
    try:
        with redirect_stdout(sys.stderr):
            plan = planned(words)
    except Exception as error:  # the engine says it better when it is called
        sys.stderr.write(f"{type(error).__name__}: {error}\n")
        return 3
    left_over = stale.left_over(configfiles)
    survey = Survey(plan, left_over)
    answer(survey.report())
    for line in sys.stdin:
        match line.strip():
            case "done":
                begin(())
                answer({"did": "done"})
            case "again":
                survey = Survey(plan, left_over)
                answer(survey.report())
            case which:
                survey.forget()
                survey.touch(survey.frontier if which == "first" else list(survey.stale))
                answer({"did": which})
    return 0


def answer(said: Mapping[str, Any]) -> None:
    """Print one answer."""
    sys.stdout.write(f"{json.dumps(said)}\n")
    sys.stdout.flush()


class Survey:
    """What is on the disk now, held against a plan."""

    def __init__(self, plan: Plan, left_over: list[str]) -> None:
        self.plan = plan
        self.left_over = left_over
        self.entries = {key: ledger.read_entry(key) for key in plan.jobs}
        self.stale = not_finished(stale_jobs(plan.jobs, self.entries), begun())
        self.frontier = self.first()

    def first(self) -> list[str]:
        """Return the stale jobs that wait for no stale one."""
        waiting: set[str] = set()
        for key, job in self.plan.jobs.items():
            if any(other in self.stale or other in waiting for other in job.upstream):
                waiting.add(key)
        return [key for key in self.stale if key not in waiting]

    def worth_a_round(self) -> bool:
        """Tell whether running the first stale jobs alone may spare others."""
        codes = {reason.code for key in self.frontier for reason in self.stale[key]}
        following = with_followers(self.plan.jobs, self.frontier).difference(self.frontier)
        spared = [key for key in following if may_be_spared(self.stale.get(key, []))]
        return codes <= SPARING and len(spared) >= WORTH_A_ROUND

    def touch(self, running: Sequence[str]) -> None:
        """
        Make what stands as young as the engine wants it, which judges by age.

        What `running` makes anew, and all that waits for it, keeps its age; passing
        files that nobody will read as they are go.
        """
        jobs = self.plan.jobs
        following = with_followers(jobs, running)
        read = {other for key in following for other in jobs[key].upstream}
        for key, job in jobs.items():
            if key in following or key not in read:
                for path in job.passing:
                    Path(path).unlink(missing_ok=True)
            for path in job.outputs if key in following else ():
                if Path(path).is_dir():  # somebody's; nothing can be written in its place
                    Path(path).rename(f"{path}.set-aside")
        begin(following)
        kept = [jobs[key] for key in jobs if key not in following]
        files = [path for job in kept for path in [*job.outputs, *job.unrecorded, *job.records]]
        now = max([time.time(), *(age(path) for job in jobs.values() for path in job.inputs)])
        passing = self.all_passing()
        for path in files:
            if path not in passing and Path(path).is_file():
                make_young(path, now)

    def forget(self) -> None:
        """Take entries of jobs that there are no more out of the ledgers."""
        if self.plan.whole:
            homes = {f"{ledger.home_of(key)}/ledger" for key in self.plan.jobs}
            for path in (path for home in homes for path in Path(home).rglob("*.json")):
                if path.as_posix() not in self.plan.jobs and path.is_file():
                    path.unlink()

    def all_passing(self) -> set[str]:
        """Return the files that are removed once they have been read."""
        return {path for job in self.plan.jobs.values() for path in job.passing}

    def report(self) -> dict[str, Any]:
        """Return what the launcher has to know."""
        jobs = self.plan.jobs
        running = with_followers(jobs, self.stale)
        touched = tampered(self.stale)
        told = [
            key for key in self.stale if key in self.frontier or has_own_reason(self.stale[key])
        ]
        return {
            "stale": [reason_words.line(jobs[key], self.stale[key]) for key in told],
            "tampered": [reason_words.tampered(path, Path(path).is_file()) for path in touched],
            "forced": goals(jobs, self.stale),
            "first": goals(jobs, self.frontier),
            "worth_a_round": self.worth_a_round(),
            "running": counted_steps(jobs, running),
            "seconds": mean_seconds(jobs, running),
            "after": rules_after(jobs, running),
            "following": counted_steps(jobs, running.difference(told)),
            "jobs": len(jobs),
            "asked_for": self.plan.forced,
            "code": project_code(),
            "whole": self.plan.whole,
            "left_over": self.left_over,
            "promised": [path for job in jobs.values() for path in job.outputs if held(path)],
            "other_versions": reason_words.other_versions(self.versions_apart()),
        }

    def versions_apart(self) -> dict[str, tuple[set[str], str]]:
        """Return the packages that steps were made with in another version, with both."""
        here = package_versions()
        apart: dict[str, tuple[set[str], str]] = {}
        for key, entry in self.entries.items():
            if entry is not None and key not in self.stale:
                for name, version in entry.versions.items():
                    if version != here.get(name):
                        apart.setdefault(name, (set(), here.get(name, "none")))[0].add(version)
        return apart


def make_young(path: str, now: float) -> None:
    """Set a file's age; one that somebody else owns and lets us write gets the present time."""
    try:
        os.utime(path, (now, now))
    except PermissionError:
        os.utime(path)


def begun() -> set[str]:
    """Return the jobs that an unfinished run was to make."""
    try:
        return set(json.loads(BEGUN.read_text(encoding="utf-8")))
    except (OSError, ValueError, TypeError):
        return set()


def begin(jobs: Iterable[str]) -> None:
    """Note the jobs that are going to run: what is missing of them then was not finished."""
    if not list(jobs):
        BEGUN.unlink(missing_ok=True)
    elif BEGUN.parent.is_dir():
        BEGUN.write_text(json.dumps(sorted(jobs)), encoding="utf-8")


def not_finished(
    stale: Mapping[str, list[Reason]], unfinished: set[str]
) -> dict[str, list[Reason]]:
    """Return the reasons, where what is missing of an unfinished run was not taken away."""
    return {
        key: [
            Reason(UNFINISHED) if key in unfinished and each.code == LOST else each
            for each in reasons
        ]
        for key, reasons in stale.items()
    }


def may_be_spared(reasons: Sequence[Reason]) -> bool:
    """Tell whether a job has no reason of its own beside what it reads."""
    return all(reason.code == INPUT for reason in reasons)


def has_own_reason(reasons: Sequence[Reason]) -> bool:
    """Tell whether a job would run whatever becomes of those before it."""
    return any(reason.code not in (INPUT, NEW) for reason in reasons)


def counted_steps(jobs: Mapping[str, Job], keys: Collection[str]) -> dict[str, int]:
    """Return how many jobs of each step are among some, in the order of the plan."""
    return dict(Counter(ledger.step_of(jobs[key].logs[0]) for key in jobs if key in keys))


def mean_seconds(jobs: Mapping[str, Job], keys: Collection[str]) -> dict[str, float]:
    """Return what a job of each step took where it was measured, of those that are among some."""
    found: dict[str, list[float]] = {}
    for key in keys:
        if (seconds := jobs[key].seconds) is not None:
            found.setdefault(ledger.step_of(jobs[key].logs[0]), []).append(seconds)
    return {step: math.fsum(sorted(each)) / len(each) for step, each in sorted(found.items())}


def rules_after(jobs: Mapping[str, Job], keys: Collection[str]) -> dict[str, list[str]]:
    """Return which later rules wait for each rule of some jobs, upstream ones first."""
    kept = [job for key, job in jobs.items() if key in keys]
    order = list(dict.fromkeys(job.rule for job in kept))
    after: dict[str, list[str]] = {rule: [] for rule in order}
    waits = ((jobs[key].rule, job.rule) for job in kept for key in job.upstream if key in keys)
    for rule, later in dict.fromkeys(waits):
        if order.index(rule) < order.index(later):
            after[rule].append(later)
    return after


def held(path: str) -> bool:
    """Tell whether a result says how a run keeps to what was fixed beforehand."""
    return path.endswith("/validation/protocol.json")


def goals(jobs: Mapping[str, Job], keys: Iterable[str]) -> list[str]:
    """
    Return the files by which the engine is made to run jobs.

    What is passing would be kept if it were asked for; who reads it stands in for its maker.
    """
    wanted = set(keys)
    passing = {key for key in wanted if set(jobs[key].outputs) <= jobs[key].passing}
    readers = {key for key in jobs if not passing.isdisjoint(jobs[key].upstream)}
    return [
        [*job.outputs, *job.unrecorded][0]
        for key, job in jobs.items()
        if key in (wanted - passing) | readers
    ]


def age(path: str) -> float:
    """Return when a file was last changed; 0 where there is none."""
    try:
        return os.stat(path).st_mtime
    except OSError:
        return 0.0


if __name__ == "__main__":
    asked = json.loads(sys.argv[1])
    sys.exit(main(asked["configfiles"], asked["words"]))
