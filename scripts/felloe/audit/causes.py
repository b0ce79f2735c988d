"""Where differences come from: what two runs recorded, walked up from each file."""

import json
from collections.abc import Iterator, Mapping

from felloe.audit.changes import (
    CHANGED_LATER,
    CODE,
    INPUT,
    LOST,
    ONE_RUN,
    READ_OTHERWISE,
    SETTING,
    STUDY,
    SURROUNDINGS,
    UNRECORDED,
    VERSION,
    Change,
    Trace,
)
from felloe.audit.differences import NOW, WAS
from felloe.audit.runs import Job, Run, texts
from felloe.ledger import ENTRIES, OWN, RESULTS

SHOWN_DIGITS = 12  # of a hash
IDENTITY = (  # of the project: key in the manifest, kind and name of a change
    ("code", CODE, ""),
    ("version", VERSION, "felloe"),
    ("lock", VERSION, "requirements.lock"),  # holds packages that no manifest lists
)


def compare_runs(was: Run, now: Run) -> tuple[Change, ...]:
    """
    List in what two runs differ by their manifests, and which files are no longer what was made.

    Returns
    -------
    tuple of Change
        In the order: files of the study, settings, versions, code, other studies, files.
    """
    return (
        *changed(INPUT, texts(was.manifest.get("inputs")), texts(now.manifest.get("inputs"))),
        *changed(SETTING, was.settings, now.settings),
        *changed(VERSION, packages_of(was), packages_of(now)),
        *(change for change, _, _ in changed_identity(was, now)),
        *changed_studies(was, now),
        *later(was, WAS),
        *later(now, NOW),
    )


def changed(kind: str, was: Mapping[str, str], now: Mapping[str, str]) -> Iterator[Change]:
    """Yield what is not the same in two mappings; hashes are cut. Nothing known: nothing said."""
    if not was or not now:
        return
    cut = SHOWN_DIGITS if kind == INPUT else None
    for name in sorted({*was, *now}):
        one, other = was.get(name, ""), now.get(name, "")
        if one != other:
            yield Change(kind, name, one[:cut], other[:cut])


def packages_of(run: Run) -> dict[str, str]:
    """Return the versions of the packages that a run was made with."""
    return texts(run.manifest.get("packages"))


def changed_studies(was: Run, now: Run) -> Iterator[Change]:
    """Yield the other studies whose results a run read and that are not the same."""
    sides = [run.manifest.get("other_studies") for run in (was, now)]
    one, other = (dict(side) if isinstance(side, Mapping) else {} for side in sides)
    for name in sorted({*one, *other}):
        if one.get(name) != other.get(name):
            yield Change(STUDY, study_of(f"{name}/"))


def later(run: Run, side: str) -> Iterator[Change]:
    """Yield the files that no longer are what their run recorded, or are gone."""
    hashes = run.files.hashes
    for path in sorted({*run.listed, *(path for path in run.makers if path in hashes)}):
        if path in run.files.unreadable:
            continue
        if path not in hashes:
            yield Change(LOST, path, side=side)
        elif {hashes[path]} != run.recorded(path):
            yield Change(CHANGED_LATER, path, side=side)


def changed_identity(was: Run, now: Run) -> Iterator[tuple[Change, str, str]]:
    """Yield in what the project itself differs, with both values in full."""
    one, other = (texts(run.manifest.get("project")) for run in (was, now))
    for key, kind, name in IDENTITY:
        if key in one and key in other and one[key] != other[key]:
            cut = None if key == "version" else SHOWN_DIGITS
            yield Change(kind, name, one[key][:cut], other[key][:cut]), one[key], other[key]


class Walk:
    """
    The way up from a file to where two runs began to differ.

    Parameters
    ----------
    was, now : Run
    """

    def __init__(self, was: Run, now: Run) -> None:
        self.was, self.now = was, now
        self.later = {
            (change.name, change.side): change
            for run, side in ((was, WAS), (now, NOW))
            for change in later(run, side)
        }
        self.dotted = {
            change.name: change for change in changed(SETTING, was.settings, now.settings)
        }
        self.identity = {
            (json.dumps(one), json.dumps(other)): change
            for change, one, other in changed_identity(was, now)
        }
        self.found: dict[str, frozenset[Change]] = {}

    def trace(self, path: str) -> Trace:
        """Return where the difference of one file of the results comes from."""
        was, now = self.makers(path)
        if was is None or now is None:
            step = (was or now or Job("")).step
            return Trace(path, step, causes=tuple(sorted(self.causes(path))))
        return Trace(
            path,
            now.step,
            inputs=tuple(differing_inputs(was, now)),
            own=self.own(was, now),
            causes=tuple(sorted(self.causes(path))),
        )

    def makers(self, path: str) -> tuple[Job | None, Job | None]:
        """Return the jobs of both runs that made a file."""
        return self.was.makers.get(path), self.now.makers.get(path)

    def causes(self, path: str) -> frozenset[Change]:
        """Return where a difference of a file that is not the same comes from."""
        if path not in self.found:
            self.found[path] = frozenset()  # no way leads back to itself
            self.found[path] = frozenset(self.causes_of(path))
        return self.found[path]

    def causes_of(self, path: str) -> Iterator[Change]:
        """Yield where a difference of a file comes from, its makers' inputs first."""
        changed_later = [
            self.later[path, side] for side in (WAS, NOW) if (path, side) in self.later
        ]
        yield from changed_later
        was, now = self.makers(path)
        if was is None or now is None:
            if not changed_later or not same_record(self.was, self.now, path):
                yield from self.beginning(path)
            return
        if was.outputs[path] == now.outputs[path]:
            return
        inputs, own = differing_inputs(was, now), self.own(was, now)
        yield from own
        for name in inputs:
            yield from self.read_otherwise(name, was, now)
            yield from self.causes(name)
        if not inputs and not own:
            yield Change(SURROUNDINGS, now.step)

    def beginning(self, path: str) -> Iterator[Change]:
        """Yield what is said of a file that no job of both ledgers made."""
        if path == ENTRIES:
            return  # the entries themselves, which the manifest's job reads: a list of all the rest
        if path.startswith(OWN):
            yield Change(INPUT, path.removeprefix(OWN))
        elif path.startswith(RESULTS):
            yield Change(STUDY, study_of(path))
        elif any(self.makers(path)):
            yield from self.made_once(path)
        else:
            yield Change(UNRECORDED, "")

    def made_once(self, path: str) -> Iterator[Change]:
        """Yield why only one run made a file, by another job of the same step in the other run."""
        was, now = self.makers(path)
        job = was or now or Job("")
        others = (self.now if was else self.was).jobs
        twin = next((one for one in others if one.step == job.step), None)
        if twin is None:
            yield Change(ONE_RUN if others else UNRECORDED, job.step if others else "")
            return
        pair = (job, twin) if was else (twin, job)
        inputs, own = differing_inputs(*pair), self.own(*pair)
        yield from own
        for name in inputs:
            yield from self.causes(name)
        if not inputs and not own:
            yield Change(UNRECORDED, job.step)

    def read_otherwise(self, name: str, was: Job, now: Job) -> Iterator[Change]:
        """Yield that a step read something else than what its maker had written."""
        for run, job, side in ((self.was, was, WAS), (self.now, now, NOW)):
            made = run.makers.get(name)
            if made and name in job.inputs and job.inputs[name] != made.outputs[name]:
                yield Change(READ_OTHERWISE, name, side=side)

    def own(self, was: Job, now: Job) -> tuple[Change, ...]:
        """Return in what a step itself differs."""
        code = Change(CODE, now.step, was.code[:SHOWN_DIGITS], now.code[:SHOWN_DIGITS])
        return (
            *((code,) if was.code != now.code else ()),
            *(self.in_full(one, now.step) for one in changed_all(was.settings, now.settings)),
            *(
                Change(VERSION, one.name, one.was, one.now)
                for one in changed_all(was.versions, now.versions)
            ),
        )

    def in_full(self, change: Change, step: str) -> Change:
        """Return a change of a step's setting by its key in the settings, all that it may be."""
        if (change.was, change.now) in self.identity:
            return self.identity[change.was, change.now]
        last = change.name.rpartition(".")[2]
        meant = [
            one
            for name, one in self.dotted.items()
            if name.rpartition(".")[2] == last and (one.was, one.now) == (change.was, change.now)
        ]
        meant = meant or [
            one for one in self.dotted.values() if (one.was, one.now) == (change.was, change.now)
        ]
        if len(meant) == 1:
            return meant[0]
        which = f" ({' or '.join(one.name for one in meant)})" if meant else ""
        return Change(SETTING, f"{change.name} of {step}{which}", change.was, change.now)


def changed_all(was: Mapping[str, str], now: Mapping[str, str]) -> Iterator[Change]:
    """Yield what is not the same in two mappings, one of which may be empty."""
    for name in sorted({*was, *now}):
        if was.get(name) != now.get(name):
            yield Change(SETTING, name, was.get(name, ""), now.get(name, ""))


def differing_inputs(was: Job, now: Job) -> list[str]:
    """Return what two jobs read and what is not the same, by path."""
    names = sorted({*was.inputs, *now.inputs})
    return [name for name in names if was.inputs.get(name) != now.inputs.get(name)]


def same_record(was: Run, now: Run, path: str) -> bool:
    """Return whether both runs recorded the same hash for a file."""
    return bool(was.recorded(path)) and was.recorded(path) == now.recorded(path)


def study_of(path: str) -> str:
    """Return the study, or pair of editions, whose results a path lies in."""
    parts = path.removeprefix(RESULTS).split("/")
    return parts[1] if parts[0] == "editions" and len(parts) > 1 else parts[0]
