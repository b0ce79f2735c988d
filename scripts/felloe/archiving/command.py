"""
Make archives of the studies of some settings, or what may be circulated of them.

Called by the launcher, in the environment's Python.

What is asked stands as JSON in the first argument.
"""

import json
import os
import sys
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

sys.path.append(str(Path(__file__).resolve().parents[2]))

from felloe import study_places
from felloe.archiving.contents import PROGRAMS, Members, Request, members_of
from felloe.archiving.sharing import ABOUT, SHARED, share_of, told_of_counts, write_folder
from felloe.archiving.wholeness import joined_names, kept_results
from felloe.archiving.zipping import write_zip
from felloe.errors import StudyError, unknown_study
from felloe.ground.files.records import read_json
from felloe.ledger import RESULTS
from felloe.settings import read_settings, resolve
from felloe.settings_merged import Settings
from felloe.validation.analysed import read_analysed
from felloe.validation.intake.study_file import read_headers
from felloe.validation.tables import ANALYSED

FOLDER = "archives"
CAREFULLY = (
    "The counts are in the archive: hand it to one auditor, as carefully as one with people."
)
LONGEST_NAME = 100  # of an archive of several studies; file systems take 255


def main(asked: Mapping[str, Any]) -> int:
    """
    Make the archives, or what may be circulated.

    Parameters
    ----------
    asked : dict
        `configfiles`, `study` (None for all), `people` (None: what may be circulated), `folder`
        (of that, whether as a folder), `shown`, the words that name settings and folder in a
        command, and `place`, the working folder as the user sees it.

    Returns
    -------
    int
        0 if they were made, 1 for a fault of the study, 2 for a study that there is not.
    """
    shared = asked["people"] is None
    try:
        settings = resolve(read_settings(asked["configfiles"]))
        read_headers(settings["studies"])
        if asked["study"] is not None and asked["study"] not in settings["studies"]:
            sys.stderr.write(f"{unknown_study(asked['study'], settings['studies'])}\n")
            return 2
        if shared:
            share(asked, settings)
        else:
            archive(asked, settings)
    except StudyError as error:
        sys.stderr.write(f"{error}\n")
        return 1
    except OSError as error:
        place = f"{error.filename}: " if error.filename else ""
        nothing = "Nothing was written." if shared else "No archive was made."
        sys.stderr.write(f"{place}{error.strerror or error}. {nothing}\n")
        return 1
    except KeyboardInterrupt:  # the launcher says so
        return 130
    return 0


def archive(asked: Mapping[str, Any], settings: Settings) -> None:
    """Make the archives; all results are whole before the first is written."""
    remedy = " ".join(["python3 scripts/run", *asked["shown"]])
    requests = [
        (name, kept_results(settings, study, remedy))
        for name, study in wanted(asked["study"], settings)
    ]
    for name, kept in requests:
        whole = f"{name}.{ending(asked['people'])}"
        made(Request(whole, asked["people"], settings, kept), asked["place"])


def share(asked: Mapping[str, Any], settings: Settings) -> None:
    """Write what may be circulated of each study; all are seen to be fit before the first."""
    remedy = " ".join(["python3 scripts/run", *asked["shown"]])
    studies = [asked["study"]] if asked["study"] is not None else list(settings["studies"])
    least = settings["privacy"]["smallest_cell"]
    shares = {
        study: share_of(study, kept_results(settings, study, remedy, "What is shared"), least)
        for study in studies
    }
    for study, members in shares.items():
        place = Path(SHARED, study)
        if asked["folder"]:
            write_folder(place, members)
        else:
            place = place.with_name(f"{study}.zip")
            inside = {f"{study}/{name}": content for name, content in members.items()}
            write_zip(place, inside, frozenset())
        said = f"{os.path.join(asked['place'], place)}: {len(members)} files, none of them tells "
        sys.stdout.write(f"{said}of single people; NOT_INCLUDED.txt says what was left out\n")


def made(request: Request, place: str) -> None:
    """Write one archive and say where it is, as it is seen from `place`."""
    members: Members = {
        f"{request.name}/{name}": content for name, content in members_of(request).items()
    }
    path = Path(FOLDER, f"{request.name}.zip")
    write_zip(path, members, frozenset(f"{request.name}/{name}" for name in PROGRAMS))
    size = path.stat().st_size / 1e6
    sys.stdout.write(f"{os.path.join(place, path)}: {len(members)} files, {size:.1f} MB\n")
    if not request.people:
        for told in warnings(joined_names(request.kept)):
            sys.stdout.write(f"{told} {CAREFULLY}\n")


def warnings(studies: Iterable[str]) -> Iterator[str]:
    """Yield of each study in parts whose whole sorts follow from the counts in an archive."""
    for study in studies:
        home = f"{RESULTS}{study}"
        if "partial" in read_json(f"{home}/{ABOUT}"):
            told = told_of_counts(study, read_analysed(f"{home}/{ANALYSED.path}"))
            if told:
                yield told


def ending(people: bool) -> str:
    """Return how the name of an archive ends, so that nobody takes one for the other."""
    return "with-people" if people else "without-people"


def wanted(study: str | None, settings: Settings) -> Iterator[tuple[str, str]]:
    """Yield the name of each archive and one of its studies; joined studies are in one archive."""
    if study is not None:
        yield study, study
        return
    done: set[str] = set()
    for name in settings["studies"]:
        joined = study_places.joined_studies(name, settings["editions"])
        if done.isdisjoint(joined):
            yield "+".join(joined)[:LONGEST_NAME], name
        done.update(joined)


if __name__ == "__main__":
    sys.exit(main(json.loads(sys.argv[1])))
