"""Which jobs have to run, judged by content: what is on the disk against the ledger."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from felloe import ledger
from felloe.ground.files.hashes import sha256_of
from felloe.launching.planning.plan import Job
from felloe.ledger import Entry

LOST, CHANGED, UNFINISHED, NEW, INPUT, SETTINGS, CODE = (
    "lost", "changed", "unfinished", "new", "input", "settings", "code",
)  # fmt: skip


@dataclass(frozen=True)
class Reason:
    """
    Why a job has to run: one of the codes above, and the files or settings it is about.

    `missing` inputs are there no more.
    """

    code: str
    about: tuple[str, ...] = ()
    missing: bool = False


@dataclass
class Disk:
    """Hashes of what is on the disk now, each file read once."""

    known: dict[str, str | None] = field(default_factory=dict)

    def hash_of(self, path: str) -> str | None:
        """Return a file's hash, or None where there is no such file."""
        if path not in self.known:
            self.known[path] = sha256_of(path) if Path(path).is_file() else None
        return self.known[path]


def reasons_of(
    job: Job, entry: Entry | None, disk: Disk, written: Mapping[str, str]
) -> Iterator[Reason]:
    """
    Yield why a job has to run; nothing if what it wrote stands as it would write it.

    Parameters
    ----------
    job : Job
    entry : Entry or None
    disk : Disk
    written : mapping of str to str
        Hash of every recorded output of all jobs; stands in for files that are passing.
    """
    outputs = [*job.outputs, *job.unrecorded]
    lasting = [path for path in outputs if path not in job.passing]
    there = [path for path in lasting if disk.hash_of(path) is not None]
    if entry is None:
        yield Reason(UNFINISHED if there or not lasting else NEW, tuple(there))
        return
    known = {*entry.outputs, *job.unrecorded}
    lost = tuple(path for path in lasting if path not in there and path in known)
    never = tuple(path for path in lasting if path not in there and path not in known)
    left = [path for path in job.passing if disk.hash_of(path) is not None]
    changed = tuple(
        path
        for path in [*there, *left]
        if path in job.outputs and disk.hash_of(path) != entry.outputs.get(path)
    )
    if lost:
        yield Reason(LOST, lost)
    if changed:
        yield Reason(CHANGED, changed)
    if never:
        yield Reason(NEW, never)
    if entry.code != job.code:
        yield Reason(CODE)
    settings = tuple(differing(entry.settings, job.settings))
    if settings:
        yield Reason(SETTINGS, settings)
    now = {
        ledger.recorded_name(path): disk.hash_of(path) or written.get(path) for path in job.inputs
    }
    if ledger.READS_LEDGER in job.settings:
        now[ledger.ENTRIES] = ledger.entries_hash(job.entry)
    inputs = tuple(
        sorted(name for name in {*now, *entry.inputs} if now.get(name) != entry.inputs.get(name))
    )
    if inputs:
        yield Reason(INPUT, inputs, missing=not any(now.get(name) for name in inputs))


def differing(was: object, now: object, place: str = "") -> Iterator[str]:
    """Yield the dotted keys under which two settings differ."""
    if isinstance(was, dict) and isinstance(now, dict):
        for key in dict.fromkeys([*was, *now]):
            yield from differing(was.get(key), now.get(key), f"{place}.{key}".lstrip("."))
    elif was != now:
        yield place


def stale_jobs(
    jobs: Mapping[str, Job], entries: Mapping[str, Entry | None]
) -> dict[str, list[Reason]]:
    """
    Return the jobs that have to run for a reason of their own, with the reasons.

    What only waits for one of these is not named: whether it has to run shows when it has run.

    Parameters
    ----------
    jobs : mapping of str to Job
    entries : mapping of str to Entry or None

    Returns
    -------
    dict of str to list of Reason
        In the order of the plan.
    """
    disk = Disk()
    written = {
        path: value
        for key in jobs
        if (entry := entries[key]) is not None
        for path, value in entry.outputs.items()
    }
    found = {key: list(reasons_of(job, entries[key], disk, written)) for key, job in jobs.items()}
    return {key: reasons for key, reasons in found.items() if reasons}


def with_followers(jobs: Mapping[str, Job], started: Iterable[str]) -> set[str]:
    """
    Return what an engine that plans once runs: the jobs, all that wait for them, and the makers
    of passing files that these read.
    """
    running = set(started)
    for key, job in jobs.items():  # upstream ones first
        if not running.isdisjoint(job.upstream):
            running.add(key)
    waiting = list(running)
    while waiting:
        for key in jobs[waiting.pop()].upstream:
            passing = jobs[key].passing
            if key not in running and any(not Path(path).is_file() for path in passing):
                running.add(key)
                waiting.append(key)
    return running


def tampered(stale: Mapping[str, list[Reason]]) -> list[str]:
    """Return the results that somebody changed or removed since they were written."""
    found = (
        path
        for reasons in stale.values()
        for reason in reasons
        if reason.code in (LOST, CHANGED)
        for path in reason.about
    )
    return list(dict.fromkeys(found))
