"""Snakemake's output, cut to what a study's owner needs: how far it is, and what went wrong."""

import re
import sys
from dataclasses import dataclass, field
from pathlib import Path

LINES_OF_A_LOG = 52  # what one screen holds
STARTS = re.compile(r"^(?:local)?(?:rule|checkpoint) (\w+):$")
DONE = re.compile(r"^(\d+) of (\d+) steps .* done$")
FINISHED = re.compile(r"^Finished jobid: (\d+) \(Rule: (\w+)\)$")
FAILED = re.compile(r"^Error in rule (\w+):$")
LOCATION = re.compile(
    r'^\s*File ".*", line \d+, in |^(\w+Error|\w+Exception) in file ".*", line \d+:?$'
)
NOISE = re.compile(
    "^("
    r"Assuming unrestricted|SNAKEMAKE$|=+$|  [A-Z][\w /()]+: |Building DAG|Using shell|"
    r"Provided cores|Rules claiming|Job stats|job +count|-+ +-+|total +\d|Select jobs|Execute \d|"
    r"\[.*\]$|Shutting down|Exiting because|Complete log|Elapsed time|Config file |host:|"
    r"Using workflow specific profile|Using profile|Removing output files of failed job|"
    r"Restored previous version|Touching|Waiting at most|Trying to restart|Storing|Full Traceback|"
    r"Traceback|At least one job|WorkflowError:$|\w+ +\d+$"
    ")"
)


@dataclass
class Watcher:
    """
    Reads Snakemake's lines, prints progress, and keeps what explains a failure.

    Attributes
    ----------
    folder : Path
        The working folder, to which logs are relative.
    failures : list of (str, str)
        Rule and log of each failed job.
    other : list of str
        What Snakemake said outside its jobs.
    """

    folder: Path
    terminal: bool = field(default_factory=sys.stdout.isatty)
    failures: list = field(default_factory=list)
    other: list = field(default_factory=list)
    jobs: dict = field(default_factory=dict)
    block: str = ""
    failing: str = ""
    wildcards: str = ""
    last: str = ""

    def line(self, text):
        """Take one line."""
        text = text.rstrip("\n")
        if match := STARTS.match(text):
            self.block, self.failing, self.wildcards = match[1], "", ""
        elif match := FAILED.match(text):
            self.block, self.failing = "", match[1]
        elif text.startswith("    ") and (self.block or self.failing):
            self.detail(text.strip())
        elif match := FINISHED.match(text):
            self.last = self.jobs.get(match[1], match[2])
        elif match := DONE.match(text):
            self.show(f"[{match[1]:>{len(match[2])}}/{match[2]}] {self.last}")
        elif text.strip():
            self.block = self.block if text.startswith("[") else ""
            if not NOISE.match(text):
                self.other.append(text)

    def detail(self, text):
        """Take one line of the block of a job."""
        name, _, value = text.partition(": ")
        if name == "log" and self.failing:
            self.failures.append(
                (self.failing, value.replace(" (check log file(s) for error details)", ""))
            )
        elif name == "jobid" and self.block:
            self.jobs[value] = self.block
        elif name == "wildcards" and self.block:
            words = " ".join(part.partition("=")[2] for part in value.split(", "))
            for job, rule in reversed(self.jobs.items()):
                if rule == self.block:
                    self.jobs[job] = f"{rule} {words}"
                    break

    def show(self, text):
        """Print progress: one line that is written over on a terminal, else a line for each."""
        if self.terminal:
            sys.stdout.write(f"\r\x1b[2K{text}")
        else:
            sys.stdout.write(f"{text}\n")
        sys.stdout.flush()

    def finish(self):
        """End the line of progress."""
        if self.terminal and self.last:
            sys.stdout.write("\n")
            sys.stdout.flush()

    def explanation(self):
        """Return one screen on what went wrong."""
        if not self.failures:
            kept = [line for line in self.other if not LOCATION.match(line)]
            return "\n".join(kept[-LINES_OF_A_LOG:]) or "Snakemake stopped without saying why."
        screens, room = [], LINES_OF_A_LOG
        for rule, log in dict.fromkeys(self.failures):
            lines = message_of(self.folder / log)[:room]
            room = max(3, room - len(lines))
            screens.append("\n".join([f"{rule} failed:", *lines, f"Log: {log}"]))
        return "\n\n".join(screens)


def message_of(log):
    """Return the lines of a step's log that say what went wrong, without a traceback."""
    try:
        lines = log.read_text(encoding="utf-8", errors="replace").rstrip().splitlines()
    except OSError:
        return ["the step was ended before it could say why"]
    if any(line.startswith("Traceback") for line in lines):
        return lines[-1:]
    return lines or [
        "the step was ended before it could say why (by the system, or for want of memory?)"
    ]
