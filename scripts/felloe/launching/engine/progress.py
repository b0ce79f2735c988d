"""A run as a study's owner sees it: how far it is."""

import shutil
import sys
from collections import Counter
from dataclasses import dataclass, field

from felloe.launching.engine.estimate import in_words, seconds_left
from felloe.launching.engine.events import (
    Cores,
    Failed,
    Finished,
    Planned,
    Progress,
    Said,
    Started,
    read_line,
)
from felloe.launching.engine.failure import named, without_traceback

# printed in every run, before there is a logger
ANNOUNCED = "for setting default command line arguments."
# one for each file of a failed step that leaves earlier results alone
RESTORED = "(updating job failed)."


@dataclass
class Watcher:
    """
    Takes the engine's output line by line, prints progress, and keeps what explains a failure.

    Attributes
    ----------
    terminal : bool
        Whether progress is one line that is written over.
    seconds : dict of str to float
        What a job of each rule took in an earlier run; empty if there was none.
    after : dict of str to list of str
        The rules that wait for each, as far as that is known.
    failures : list of Failed
    errors : list of Said
        What the engine called an error.
    notes, text : list of str
        What it said beside that, and what was printed without being an event.
    jobs : dict of int to Started
    remaining : Counter of str
        Jobs that have not ended, by rule.
    restored : int
        Earlier results that were put back when their step failed.
    last : str
        The job that ended last; empty while none has.
    """

    terminal: bool = field(default_factory=sys.stdout.isatty)
    seconds: dict[str, float] = field(default_factory=dict)
    after: dict[str, list[str]] = field(default_factory=dict)
    failures: list[Failed] = field(default_factory=list)
    errors: list[Said] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    text: list[str] = field(default_factory=list)
    jobs: dict[int, Started] = field(default_factory=dict)
    remaining: Counter[str] = field(default_factory=Counter)
    cores: int = 0
    restored: int = 0
    last: str = ""
    shown: bool = False

    def line(self, line: str) -> None:
        """Take one line."""
        text, event = read_line(line)
        if text.strip() and not text.rstrip().endswith(ANNOUNCED):
            self.text.append(text.rstrip("\n"))
        match event:
            case Planned(jobs):
                self.remaining = Counter(jobs)
                if left := self.left():
                    self.show(f"{counted(0, sum(jobs.values()))} {left}")
            case Cores(cores):
                self.cores = cores
            case Started(job):
                self.jobs[job] = event
            case Finished(job) if job in self.jobs:
                self.last = label(self.jobs[job])
                self.remaining[self.jobs[job].rule] -= 1
            case Progress(done, total):
                left = self.left()
                self.show(f"{counted(done, total)} {self.last}{', ' if left else ''}{left}")
            case Failed():
                self.failures.append(event)
            case Said():
                self.hear(event)

    def hear(self, said: Said) -> None:
        """Keep an error for the end, print a warning at once, keep other words in case."""
        if said.level in ("ERROR", "CRITICAL"):
            self.errors.append(said)
        elif said.text.endswith(RESTORED):
            self.restored += 1
        elif said.level == "WARNING":
            self.clear()
            sys.stderr.write(f"{without_traceback(said.text)}\n")
            sys.stderr.flush()
        else:
            self.notes.append(said.text)

    def left(self) -> str:
        """Return the time left in words, or nothing where there is nothing to judge it by."""
        left = seconds_left(self.remaining, self.seconds, self.cores, self.after)
        return in_words(left) if left else ""

    def show(self, text: str) -> None:
        """Print progress: one line that is written over on a terminal, else a line for each."""
        if self.terminal:
            self.clear()
            # a line that the terminal breaks in two could not be written over
            sys.stdout.write(text[: shutil.get_terminal_size().columns - 1])
            self.shown = True
        else:
            sys.stdout.write(f"{text}\n")
        sys.stdout.flush()

    def clear(self) -> None:
        """Take the line of progress off the terminal."""
        if self.shown:
            sys.stdout.write("\r\x1b[2K")
            sys.stdout.flush()
            self.shown = False

    def finish(self) -> None:
        """End the line of progress."""
        if self.shown:
            sys.stdout.write("\n")
            sys.stdout.flush()
            self.shown = False


def counted(done: int, total: int) -> str:
    """Return how many jobs are done, as wide for the first as for the last."""
    return f"[{done:>{len(str(total))}}/{total}]"


def label(started: Started) -> str:
    """Return a job as it is shown: its rule and the values of its wildcards."""
    return " ".join([named(started.rule, started.logs), *started.wildcards.values()])
