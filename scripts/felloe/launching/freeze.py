"""The word `freeze`: what determines a study's analysis, written down before data are seen."""

import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

sys.path.append(str(Path(__file__).resolve().parents[2]))

from felloe import __version__
from felloe.errors import Fault, StudyError
from felloe.launching.one_study import ended, reader_of, settings_and_folder
from felloe.launching.study_so_far import data_of, read_terms
from felloe.settings_merged import Settings
from felloe.validation.intake.study_file import NAME, StudyFile, read_study_file
from felloe.validation.protocol import protocol_of
from felloe.validation.protocol_record import PROTOCOL, write_protocol

DATA_SEEN = "--data-seen"
SEEN = (
    f"It says that sorts were there when it was frozen ({DATA_SEEN}); every report will say so.\n"
)
INTERRUPTED = "Nothing was frozen: {why}."
FROZEN = """\
Frozen: {path}
SHA-256: {sha256}

What to do now, before the first sort arrives:
- Deposit this hash where others keep it and the day is recorded: with a notary, an archive or an
  auditor, in the minutes of the committee (on paper), in an e-mail to all members. A hash that
  only you keep proves nothing.
- Keep the file as it is; a later run stops if it was changed. Anybody gets the hash again with
    sha256sum {path}
{seen}Every later run says in report and manifest whether it keeps to this protocol, and lists each
departure.
"""


def main(words: Sequence[str]) -> int:
    """
    Freeze a study; return the exit status.

    Parameters
    ----------
    words : sequence of str
        What was typed after `freeze`; settings files are absolute or relative to this folder.
    """
    does = "Write down what determines a study's analysis, before data are seen."
    options = {DATA_SEEN: "freeze though sorts are there; it will be said"}
    typed = reader_of("freeze", does, options).parse_args(words)

    def act() -> int:
        settings, folder = settings_and_folder(typed.study, typed.configfile)
        sha256 = frozen(typed.study, folder, settings, typed.data_seen)
        path = os.path.relpath(folder / PROTOCOL)
        print(FROZEN.format(path=path, sha256=sha256, seen=SEEN if typed.data_seen else ""), end="")
        return 0

    return ended(act, INTERRUPTED)


def frozen(study: str, folder: Path, settings: Settings, data_seen: bool) -> str:
    """
    Write the protocol of a study; return its SHA-256.

    Raises
    ------
    StudyError
        If there is one already, if there are sorts and nobody said so, if the settings are those
        of a preview, or with every fault of `study.yaml` and `terms.csv`.
    """
    path = folder / PROTOCOL
    refuse(path, folder, settings, data_seen)
    header = read_study_file(folder / NAME, str(folder / NAME))
    terms, faults = read_terms(folder, settings)
    if header.faults or faults:
        raise StudyError([*header.faults, *faults])
    about = about_of(header)
    protocol = protocol_of(study, about, terms, settings, __version__, data_seen)
    return write_protocol(path, protocol)


def refuse(path: Path, folder: Path, settings: Settings, data_seen: bool) -> None:
    """Raise the reason for which a study can't be frozen now, if there is one."""
    if path.exists():
        problem = "is there already, so nothing was frozen"
        remedy = (
            "Keep it: every run is held against it. To freeze anew, remove it on purpose, and say "
            "to whoever keeps its hash that it was replaced, and why."
        )
        raise StudyError([Fault(str(path), problem=problem, remedy=remedy)])
    if settings["preview"]:
        raise StudyError("preview: a preview is for trying things. Freeze without it.")
    there = data_of(folder)
    if there and not data_seen:
        problem = "there are sorts already, so nothing can be fixed before they are seen any more"
        remedy = f"To freeze all the same, add {DATA_SEEN}; the report will say so."
        raise StudyError([Fault(str(there), problem=problem, remedy=remedy)])


def about_of(header: StudyFile) -> dict[str, Any]:
    """Return what `study.yaml` says that determines the analysis."""
    return {
        "title": header.title,
        "edition": header.edition,
        "instruction": header.instruction,
        "populations": header.populations,
    }


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
