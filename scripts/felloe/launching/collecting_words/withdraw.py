"""What was typed after `withdraw`: somebody is taken out of a study's files."""

import sys
from collections.abc import Sequence
from pathlib import Path

sys.path.append(str(Path(__file__).resolve().parents[3]))

from felloe.collecting.gathering.removal import remove
from felloe.collecting.gathering.withdrawing import ELSEWHERE, NAMED, UNSEEN, still_held, to_remove
from felloe.launching.one_study import ended, reader_of, settings_and_folder

INTERRUPTED = "Not everything was removed: {why}. Type the same again when it is mended."


def main(typed: Sequence[str]) -> int:
    """
    Take somebody out of a study; return the exit status.

    Parameters
    ----------
    typed : sequence of str
        What was typed after `withdraw`; settings files are absolute or relative to this folder.
    """
    reader = reader_of("withdraw", "Take somebody out of a study.", {})
    reader.add_argument("participant", metavar="PARTICIPANT", help="their pseudonym")
    asked = reader.parse_args(typed)

    def act() -> int:
        _, folder = settings_and_folder(asked.study, asked.configfile)
        taken_out(asked.study, folder, asked.participant)
        return 0

    return ended(act, INTERRUPTED)


def taken_out(study: str, folder: Path, person: str) -> None:
    """Take somebody out; say what was done, as it is done, and what is left."""
    found = to_remove(study, folder, person)
    held = still_held(study, folder, person)
    print(f"{person} withdraws from {study}.")
    for line in remove(study, folder, person, found):
        print(f"  {line}")
    if found.is_empty:
        print("  Nothing of theirs is left in the study's folder.")
    for heading, paths in ((UNSEEN, found.unseen), (NAMED, found.named)):
        if paths:
            print("\n".join(["", heading, *(f"  {path}" for path in paths)]))
    print(f"\n{held}\n\n{ELSEWHERE}")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
