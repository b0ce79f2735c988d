"""The launcher's side of the survey: what has to run and why."""

import json
import subprocess
import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import Any

from felloe.launching.complaints import LaunchError
from felloe.launching.engine.failure import without_traceback

UNPLANNABLE = 3  # the survey's exit status where Snakemake cannot plan
LINES = 40  # of a screen, for what would run


@dataclass(frozen=True)
class Survey:
    """
    What has to run.

    Attributes
    ----------
    stale : list of str
        Jobs that have to run first, each with its reasons, in words.
    tampered : list of str
        Results that are not as they were written, in words.
    forced, first : list of str
        A result of each job that has to run; of those that have to run first.
    worth_a_round : bool
        Whether running these alone may spare what waits for them.
    running : dict of str to int
        Jobs that would run if all did that wait for them, by step.
    seconds : dict of str to float
        What a job of each of these steps takes, as told by its measured growth.
    after : dict of str to list of str
        The later rules that wait for each, upstream ones first.
    following : dict of str to int
        Those of them that `stale` does not tell.
    jobs : int
        All jobs of the command.
    asked_for : bool
        Whether the command itself asks for jobs to be run again.
    code : str
        Hash of the project's code.
    promised : list of str
        Results that say how a study keeps to what was fixed beforehand.
    left_over : list of str
        Results that the settings do not name, in words.
    whole : bool
        Whether everything was asked for, and not a part.
    other_versions : str
        What was made with other versions of packages; empty where nothing was.
    """

    stale: list[str]
    tampered: list[str]
    forced: list[str]
    first: list[str]
    worth_a_round: bool
    running: dict[str, int]
    seconds: dict[str, float]
    after: dict[str, list[str]]
    following: dict[str, int]
    jobs: int
    asked_for: bool
    code: str
    promised: list[str]
    left_over: list[str]
    other_versions: str
    whole: bool = True

    @property
    def subject(self) -> str:
        """What was looked at, with its verb."""
        return "every result is" if self.whole else "what was asked for is"


class Surveyor:
    """
    The survey's process, for as long as it is asked.

    Parameters
    ----------
    python : Path
    configfiles : list of str
    words : list of str
        What would be typed after `snakemake`.
    folder : Path
        The working folder.
    variables : dict of str to str
    """

    def __init__(
        self,
        python: Path,
        configfiles: Sequence[str],
        words: Sequence[str],
        folder: Path,
        variables: Mapping[str, str],
    ) -> None:
        asked = json.dumps({"configfiles": list(configfiles), "words": list(words)})
        self.process = subprocess.Popen(
            [str(python), str(Path(__file__).with_name("survey.py")), asked],
            cwd=folder,
            env=dict(variables),
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            encoding="utf-8",
        )

    def __enter__(self) -> "Surveyor":
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.process.kill()
        self.process.communicate()

    def report(self) -> Survey | None:
        """Return the first answer; None where the survey ended without one."""
        answer = self.heard()
        return Survey(**answer) if answer else None

    def again(self) -> Survey | None:
        """Return what has to run now."""
        self.tell("again")
        return self.report()

    def make_young(self, which: str) -> None:
        """Make what stands younger than all that it was made from, but for what is to run."""
        self.tell(which)
        if not self.heard():
            _, said = self.last_words()
            raise LaunchError(without_traceback(said) or "The look at the results was ended.")

    def tell(self, word: str) -> None:
        """Ask for something."""
        if self.process.stdin is not None:
            self.process.stdin.write(f"{word}\n")
            self.process.stdin.flush()

    def heard(self) -> dict[str, Any]:
        """Return an answer; empty where the process has ended."""
        line = self.process.stdout.readline() if self.process.stdout is not None else ""
        answer: dict[str, Any] = json.loads(line) if line else {}
        return answer

    def last_words(self) -> tuple[int, str]:
        """Return the exit status of a survey that ended without an answer, and what it said."""
        _, said = self.process.communicate()
        return self.process.returncode, said


def would_run(survey: Survey) -> str:
    """Return one screen on what would run and why."""
    if not survey.stale:
        return f"Nothing would run: {survey.subject} up to date."
    total = sum(survey.running.values())
    lines = [f"{total} of {survey.jobs} steps would run; these have a reason of their own:"]
    lines += [f"  {each}" for each in survey.stale[:LINES]]
    if len(survey.stale) > LINES:
        lines.append(f"  ... and {len(survey.stale) - LINES} more")
    rest = total - len(survey.stale)
    if rest > 0:
        if survey.worth_a_round:
            lines.append(f"Then what reads a result that came out another, at most {rest} steps:")
        else:
            lines.append(f"Then the {rest} steps that wait for them:")
        lines += textwrap.wrap(
            ", ".join(survey.following),
            96,
            initial_indent="  ",
            subsequent_indent="  ",
            break_on_hyphens=False,
        )
    return "\n".join(lines)
