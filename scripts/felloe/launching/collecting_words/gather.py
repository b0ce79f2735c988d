"""What was typed after `gather`: returns put together as the study's tables."""

import sys
from collections.abc import Sequence
from pathlib import Path

sys.path.append(str(Path(__file__).resolve().parents[3]))

from felloe.collecting.gathering.gathering import Gathered, gather
from felloe.collecting.gathering.keeping import write_tables
from felloe.collecting.gathering.words import (
    CAUTION,
    NOTHING_WRITTEN,
    WITH_INCOMPLETE,
    listed,
    overview,
)
from felloe.errors import StudyError
from felloe.launching.one_study import ended, reader_of, settings_and_folder

INTERRUPTED = "Not everything was written: {why}. Type the same again when it is mended."


def main(typed: Sequence[str]) -> int:
    """
    Gather the returns of a study; return the exit status.

    Parameters
    ----------
    typed : sequence of str
        What was typed after `gather`; settings files are absolute or relative to this folder.
    """
    options = {WITH_INCOMPLETE: "count incomplete sorts too"}
    asked = reader_of("gather", "Put together what people sent back.", options).parse_args(typed)

    def act() -> int:
        settings, folder = settings_and_folder(asked.study, asked.configfile)
        gathered = gather(asked.study, folder, settings, asked.with_incomplete)
        print(overview(gathered, asked.with_incomplete))
        return told(gathered, folder)

    return ended(act, INTERRUPTED)


def told(gathered: Gathered, folder: Path) -> int:
    """Write the tables, or say why none was; return the exit status."""
    if gathered.faults:
        sys.stderr.write(f"\n{StudyError(gathered.faults)}\n\n{NOTHING_WRITTEN}\n")
        return 1
    print(f"\n{listed('Tables:', write_tables(folder, gathered.tables))}\n\n{CAUTION}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
