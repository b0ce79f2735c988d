"""One run of the studies: what has to run, the engine at work, and what is said of it."""

import json
import os
import re
import subprocess
import sys
from collections.abc import Collection, Iterator, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, field, replace
from pathlib import Path

from felloe.errors import nearest
from felloe.launching import arguments, withheld
from felloe.launching.clusters import PROFILES, USUAL, Cluster, cluster_for
from felloe.launching.engine.estimate import seconds_of_rules
from felloe.launching.engine.failure import TRACEBACK, explanation, without_traceback
from felloe.launching.engine.interrupts import attended
from felloe.launching.engine.locks import held, unlocking
from felloe.launching.engine.parent import VARIABLE
from felloe.launching.engine.progress import Watcher
from felloe.launching.planning.surveyor import UNPLANNABLE, Survey, Surveyor, would_run
from felloe.launching.setup.environment import (
    LaunchError,
    WrongCommand,
    ensured,
    environment_variables,
)
from felloe.study_places import START
from felloe.versions import CODE_VARIABLE

ROOT = Path(__file__).resolve().parents[3]
QUICK = "--quick"
PREVIEWS = "previews"  # the working folder of a preview, within that of the run itself
ROUNDS = 3  # of steps that may spare others; after these everything that is stale runs at once
MOST_LINES = 10  # of a list before a run
OPENED = {  # what somebody opens first, by the step that makes it
    "write_report": "<study>/report/report.html",
    "draw_wheel": "<study>/figures/wheel.pdf",
    "report_editions": "editions/<older>--<newer>/report.html",
    "report_timeline": "editions/<first>--<last>/timeline.html",
}


def say(text: str) -> None:
    """Print a line at once."""
    print(text, flush=True)


@dataclass(frozen=True)
class Engine:
    """Snakemake, as it is called for one working folder."""

    python: Path
    folder: Path
    configfiles: list[str]
    variables: dict[str, str]
    preview: bool = False
    cluster: Cluster | None = None
    seconds: dict[str, float] = field(default_factory=dict)
    after: dict[str, list[str]] = field(default_factory=dict)

    @property
    def what(self) -> str:
        """What is run, in words."""
        if self.preview:
            return "a preview"
        return "your settings" if self.configfiles else "the demo studies"

    @property
    def unlock(self) -> str:
        """The command that unlocks the folder."""
        if self.preview:
            return f"{unlocking(ROOT, self.configfiles[:-1], self.folder.parent)} {QUICK}"
        return unlocking(ROOT, self.configfiles, self.folder)

    def words(self, rest: list[str]) -> list[str]:
        """Return what stands after `snakemake` for what was typed."""
        words = [*rest, "--snakefile", str(ROOT / "Snakefile"), "--directory", str(self.folder)]
        usual = str(ROOT / PROFILES / USUAL)
        if self.cluster is None:
            words += ["--workflow-profile", usual]
        else:  # of the two the latter goes over the former
            words += ["--profile", usual, "--workflow-profile", str(self.cluster.profile)]
        if self.configfiles:
            words += ["--configfile", *self.configfiles]
        # how many jobs a cluster takes at once, its profile says
        told = self.cluster is not None or arguments.cores_given(rest)
        return words if told else [*words, "--cores", "all"]

    def command(self, rest: list[str]) -> list[str]:
        """Return the whole command."""
        return [str(self.python), "-m", "snakemake", *self.words(rest)]

    def run(self, rest: list[str]) -> int:
        """Run it with its output cut to progress; return its exit status."""
        return watched(self, self.command(rest))


def engine_for(
    configfiles: list[str], directory: str | None, profile: Path | None = None
) -> Engine:
    """Return the engine for what was typed; the environment is made first where it is missing."""
    folder = Path(directory) if directory else ROOT
    python, variables = ensured(ROOT, say), environment_variables(ROOT)
    if profile is None:
        return Engine(python, folder, configfiles, variables)
    cluster = cluster_for(profile, python, ROOT, say)
    return Engine(python, folder, configfiles, cluster.variables(variables), cluster=cluster)


def run_engine(engine: Engine, rest: list[str], ending: bool = True) -> int:
    """
    See what has to run, and run it, or say it where that was asked; return the exit status.

    Parameters
    ----------
    engine : Engine
    rest : list of str
        Targets, then options of the engine.
    ending : bool
        Whether to say where the results lie.
    """
    planning = arguments.is_planning(rest)
    if arguments.is_showing(rest) and not planning:
        return shown(engine, rest)
    kept = withheld.plan_of(engine.folder)
    if kept is not None:
        return without_people(engine, kept, rest)
    words = engine.words(arguments.without_planning(rest))
    run_by = engine.python, engine.configfiles, words, engine.folder, engine.variables
    with ExitStack() as stack:
        if not planning and (engine.folder / ".snakemake").is_dir():  # else nothing is written yet
            stack.enter_context(held(engine.folder, say))
        surveyor = stack.enter_context(Surveyor(*run_by))
        survey = surveyor.report()
        if survey is None:
            return without_survey(surveyor, engine, rest)
        if planning:
            say(would_run(survey))
            return 0
        status = made(survey, surveyor, engine, rest)
        if not status and (survey.stale or survey.asked_for):
            surveyor.make_young("done")
    if not status and ending:
        say_at_the_end(engine, survey, rest)
    return status


def say_at_the_end(engine: Engine, survey: Survey, rest: list[str]) -> None:
    """Say where the results lie, and what is to be known of them."""
    if survey.stale or survey.asked_for:
        results = os.path.relpath(engine.folder / "results")
        say(f"Done. Open {pages_to_open(results, survey.running)}.")
    if not arguments.is_overridden(rest):
        promised = [engine.folder / path for path in survey.promised]
        for line in [*departures(promised), *survey.left_over]:
            say(line)


def pages_to_open(results: str, ran: Collection[str]) -> str:
    """Return which pages to open where some steps ran; a study's, if they made none."""
    made = [page for step, page in OPENED.items() if step in ran] or list(OPENED.values())[:2]
    *first, last = (f"{results}/{page}" for page in made)
    return f"{', '.join(first)} and {last}" if first else last


def departures(promised: Sequence[Path]) -> Iterator[str]:
    """Yield a line for each study that departs from what was frozen before its data."""
    for path in sorted(promised):
        try:
            held_against = json.loads(path.read_text(encoding="utf-8"))
            points = [str(each["what"]) for each in held_against["departures"]]
        except (OSError, ValueError, KeyError, TypeError):
            continue
        if points:
            more = f" and {len(points) - 3} more" if len(points) > 3 else ""
            yield f"{path.parts[-3]} departs from its protocol: {', '.join(points[:3])}{more}."


def without_people(engine: Engine, plan: withheld.Plan, rest: list[str]) -> int:
    """Make anew what can be where people were left out; return the exit status."""
    if faulty(engine):
        return 1
    say(withheld.SAID)
    if arguments.is_planning(rest):
        say(f"These steps would run: {', '.join(plan['rules'])}.")
        return 0
    return engine.run(withheld.words(plan, rest))


def shown(engine: Engine, rest: list[str]) -> int:
    """Let Snakemake show something of settings that are right; return its exit status."""
    if not arguments.is_answer(rest) and faulty(engine):
        return 1
    command = engine.command(rest)
    return attended(command, cwd=engine.folder, env=engine.variables)


def faulty(engine: Engine) -> bool:
    """Check settings and headers, and return whether anything is wrong, which is then said."""
    check = [str(engine.python), str(Path(__file__).parent / "planning" / "preflight.py")]
    check += engine.configfiles
    return bool(subprocess.run(check, cwd=engine.folder, env=engine.variables).returncode)


def previewing(engine: Engine) -> Engine:
    """Return the engine of a preview: in a folder of its own, reading the same studies."""
    folder = engine.folder / PREVIEWS
    setting = folder / "preview.yaml"
    try:
        folder.mkdir(exist_ok=True)
        setting.write_text("preview: true  # what --quick adds to your settings\n", "utf-8")
    except OSError as error:
        raise LaunchError(f"{os.path.relpath(folder)}: {error.strerror}.") from None
    files = [*engine.configfiles, str(setting)]
    return replace(in_folder_of_its_own(engine, folder), configfiles=files, preview=True)


def in_folder_of_its_own(engine: Engine, folder: Path) -> Engine:
    """Return the engine as it works in another folder and reads the same studies."""
    start = os.path.relpath(engine.folder, folder)
    return replace(engine, folder=folder, variables={**engine.variables, START: start})


def without_survey(surveyor: Surveyor, engine: Engine, rest: list[str]) -> int:
    """Say why there is no survey; where Snakemake cannot plan, let it say so itself."""
    status, said = surveyor.last_words()
    _, unknown, option = said.partition("unrecognized arguments: ")
    if unknown:
        close = nearest(
            option.split()[0], [QUICK, *re.findall(r"--[\w-]+", said.partition(unknown)[0])]
        )
        meant = f"Did you mean {close}? " if close else ""
        raise WrongCommand(
            f"{option.split()[0]} is no option. {meant}See: python3 scripts/run help"
        )
    if status != UNPLANNABLE:
        sys.stderr.write(without_traceback(said) + "\n")
        return 1
    status = engine.run(rest)
    if not status:
        last = said.rstrip().rpartition("\n")[2]
        sys.stderr.write(f"What stands could not be held against the ledger: {last}\n")
    return status or 1


def made(survey: Survey, surveyor: Surveyor, engine: Engine, rest: list[str]) -> int:
    """
    Run what has to run; return the exit status.

    Where running the first steps alone may spare what waits for them, they are run alone, and then
    one looks again.
    """
    if survey.other_versions:
        say(survey.other_versions)
    if not survey.stale and not survey.asked_for:
        say(f"Nothing to do: {survey.subject} up to date.")
        return 0
    variables = {**engine.variables, CODE_VARIABLE: survey.code}
    engine = replace(engine, variables=variables, seconds=survey.seconds, after=survey.after)
    results = os.path.relpath(engine.folder / "results")
    say(f"Running {engine.what}; results go to {results}.")
    for line in shortened_list(survey.tampered if not arguments.is_partial(rest) else []):
        say(line)
    for _ in range(ROUNDS):
        if not survey.worth_a_round or survey.asked_for or arguments.is_partial(rest):
            break
        surveyor.make_young("first")
        status = engine.run(arguments.only(survey.first, rest))
        if status:
            return status
        looked = surveyor.again()
        if looked is None:
            return without_survey(surveyor, engine, rest)
        survey = looked
    if survey.stale or survey.asked_for:
        surveyor.make_young("all")
        status = engine.run(arguments.forcing(survey.forced, rest))
        if status:
            return status
    return 0


def shortened_list(lines: list[str]) -> list[str]:
    """Return so many lines as may stand before a run, and how many more there are."""
    more = len(lines) - MOST_LINES
    return lines if more <= 0 else [*lines[:MOST_LINES], f"... and {more} more results."]


def watched(engine: Engine, command: list[str]) -> int:
    """Run Snakemake with its output cut to progress and, at the end, one screen."""
    folder, variables = engine.folder, engine.variables
    # what jobs took here says more than what they took where they were measured
    watcher = Watcher(seconds={**engine.seconds, **seconds_of_rules(folder)}, after=engine.after)
    found = os.pathsep.join(filter(None, [str(ROOT / "scripts"), variables.get("PYTHONPATH")]))
    variables = {**variables, "PYTHONPATH": found, VARIABLE: str(os.getpid())}
    with held(folder, say) as inherited:
        status = 1
        try:
            status = attended(
                [*command, "--logger", "felloe"],
                watcher.line,
                cwd=folder,
                env=variables,
                pass_fds=inherited,
            )
        finally:
            watcher.finish()
            if status and engine.cluster is not None:
                engine.cluster.cancel_left(folder, variables)
    if status:
        sys.stderr.write(f"{failure_screen(folder, watcher, engine.unlock)}\n")
        return status if status > 0 else 128 - status
    # a run that went well may still have been warned about something
    for text in [*(without_traceback(said.text) for said in watcher.errors), *watcher.text]:
        sys.stderr.write(f"{text}\n")
    return 0


def failure_screen(folder: Path, watcher: Watcher, unlock: str) -> str:
    """Return what went wrong; what the screen leaves out of the engine's words goes to a file."""
    said = watcher.errors, watcher.text, watcher.notes
    screen = explanation(folder, watcher.failures, *said, unlock=unlock)
    if watcher.restored:
        screen += f"\nEarlier results of this step stay as they were; files: {watcher.restored}."
    whole = "\n".join([*(said.text for said in watcher.errors), *watcher.text])
    if TRACEBACK not in whole:
        return screen
    record = folder / ".snakemake" / "felloe.log"
    try:
        record.parent.mkdir(exist_ok=True)
        record.write_text(f"{whole}\n", encoding="utf-8")
    except OSError:  # a full disk may be what went wrong: the screen is what matters
        return screen
    return f"{screen}\nIn full: {os.path.relpath(record)}"
