"""Check settings and headers before Snakemake reads them: a mistake there is one screen."""

import sys
from collections.abc import Sequence
from pathlib import Path

sys.path.append(str(Path(__file__).resolve().parents[3]))

from felloe.errors import StudyError
from felloe.ground.edition_lists import EDITIONS, check_order, folder_of, homes_of
from felloe.launching.planning.folder_check import folder_faults
from felloe.settings import files_shown, read_settings, resolve
from felloe.validation.intake.study_file import read_headers


def main(configfiles: Sequence[str]) -> int:
    """Return 0 if settings and the headers of all studies are right, else print every fault."""
    try:
        shown = files_shown(configfiles)
        settings = resolve(read_settings(configfiles), shown)
        headers = read_headers(settings["studies"])
        dates = {study: header.edition for study, header in headers.items()}
        check_order(settings["editions"], dates, shown)
        homes = [f"{EDITIONS}/{folder_of(home)}" for home in homes_of(settings["editions"])]
        faults = folder_faults(Path.cwd(), [*settings["studies"], *homes])
        if faults:
            raise StudyError(faults)
    except StudyError as error:
        sys.stderr.write(f"{error}\n")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
