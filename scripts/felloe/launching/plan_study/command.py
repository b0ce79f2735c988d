"""What was typed after `plan`: the study is read once, and each question answered in turn."""

import sys
from collections.abc import Callable, Sequence
from pathlib import Path

sys.path.append(str(Path(__file__).resolve().parents[3]))

from felloe.launching.one_study import ended, reader_of, settings_and_folder
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
INTERRUPTED = "Not written: {why}. Mend that and type the command again."


def main(typed: Sequence[str]) -> int:
    """
    Answer what a study would be like; write its design if asked; return the exit status.

    Parameters
    ----------
    typed : sequence of str
        What was typed after `plan`; settings files are absolute or relative to this folder.
    """
    does = "See what a study would be like, before its data."
    options = {WRITE: "write design.csv, or add who came late"}
    asked = reader_of("plan", does, options).parse_args(typed)

    def act() -> int:
        settings, folder = settings_and_folder(asked.study, asked.configfile)
        planned = read_planned(asked.study, folder, settings)
        last = written(planned) if asked.write_design else not_written(planned)
        answers = QUICK if asked.write_design else ANSWERS
        said = [*(answer(planned) for answer in answers), last]
        print("\n\n".join(text for text in said if text))
        return 0

    return ended(act, INTERRUPTED)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
