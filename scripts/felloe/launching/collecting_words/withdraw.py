"""What was typed after `withdraw`: somebody is taken out of a study's files."""

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

sys.path.append(str(Path(__file__).resolve().parents[3]))

from felloe.collecting.gathering.removal import remove
from felloe.collecting.gathering.withdrawing import ELSEWHERE, NAMED, UNSEEN, still_held, to_remove
from felloe.errors import StudyError
from felloe.launching.freeze import settings_and_folder

INTERRUPTED = "Not everything was removed: {why}. Type the same again when it is mended.\n"


def main(typed: Sequence[str]) -> int:
    """
    Take somebody out of a study; return the exit status.

    Parameters
    ----------
    typed : sequence of str
        What was typed after `withdraw`; settings files are absolute or relative to this folder.
    """
    asked = parser().parse_args(typed)
    study, person = asked.study, asked.participant
    try:
        _, folder = settings_and_folder(study, asked.configfile)
        found = to_remove(study, folder, person)
        held = still_held(study, folder, person)
        print(f"{person} withdraws from {study}.")
        for line in remove(study, folder, person, found):
            print(f"  {line}")
        if found.is_empty:
            print("  Nothing of theirs is left in the study's folder.")
        if found.unseen:
            print("\n".join(["", UNSEEN, *(f"  {path}" for path in found.unseen)]))
        if found.named:
            print("\n".join(["", NAMED, *(f"  {path}" for path in found.named)]))
        print(f"\n{held}\n\n{ELSEWHERE}")
    except StudyError as error:
        sys.stderr.write(f"{error}\n")
        return 1
    except OSError as error:
        sys.stderr.write(INTERRUPTED.format(why=f"{error.strerror} ({error.filename})"))
        return 1
    except KeyboardInterrupt:  # the launcher says so
        return 130
    return 0


def parser() -> argparse.ArgumentParser:
    """Return what reads the words after `withdraw`."""
    reader = argparse.ArgumentParser(
        prog="scripts/run withdraw", description="Take somebody out of a study."
    )
    reader.add_argument("study", metavar="STUDY", help="name of a study in the settings")
    reader.add_argument("participant", metavar="PARTICIPANT", help="their pseudonym")
    reader.add_argument("--configfile", nargs="*", default=[], metavar="FILE")
    return reader


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
