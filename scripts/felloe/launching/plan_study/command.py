"""What was typed after `plan`: the study is read once, and each question answered in turn."""

import argparse
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

sys.path.append(str(Path(__file__).resolve().parents[3]))

from felloe.errors import StudyError
from felloe.launching.freeze import settings_and_folder
from felloe.launching.plan_study.foreseen import how_many_more, what_to_expect
from felloe.launching.plan_study.issuing import WRITE, not_written, written
from felloe.launching.plan_study.observed import seen_by_how_many
from felloe.launching.plan_study.planned import Planned, read_planned

# what is answered, in this order: each takes the planned study and returns a text, or nothing
ANSWERS: tuple[Callable[[Planned], str], ...] = (
    seen_by_how_many,
    what_to_expect,
    how_many_more,
)
QUICK = ANSWERS[:1]  # where the design is written: nobody waits for simulated studies then


def main(typed: Sequence[str]) -> int:
    """
    Answer what a study would be like; write its design if asked; return the exit status.

    Parameters
    ----------
    typed : sequence of str
        What was typed after `plan`; settings files are absolute or relative to this folder.
    """
    asked = parser().parse_args(typed)
    try:
        settings, folder = settings_and_folder(asked.study, asked.configfile)
        planned = read_planned(asked.study, folder, settings)
        last = written(planned) if asked.write_design else not_written(planned)
        answers = QUICK if asked.write_design else ANSWERS
        said = [*(answer(planned) for answer in answers), last]
    except StudyError as error:
        sys.stderr.write(f"{error}\n")
        return 1
    except OSError as error:
        problem = f"{error.strerror} ({error.filename})"
        sys.stderr.write(f"Not written: {problem}. Mend that and type the command again.\n")
        return 1
    except KeyboardInterrupt:  # the launcher says so
        return 130
    print("\n\n".join(text for text in said if text))
    return 0


def parser() -> argparse.ArgumentParser:
    """Return what reads the words after `plan`."""
    reader = argparse.ArgumentParser(
        prog="scripts/run plan", description="See what a study would be like, before its data."
    )
    reader.add_argument("study", metavar="STUDY", help="name of a study in the settings")
    reader.add_argument(WRITE, action="store_true", help="write design.csv, or add who came late")
    reader.add_argument("--configfile", nargs="*", default=[], metavar="FILE")
    return reader


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
