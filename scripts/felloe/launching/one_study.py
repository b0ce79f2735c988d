"""What the words about one study share: how they are read, its settings and folder, their end."""

import argparse
import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from felloe.errors import Fault, StudyError, meant_study
from felloe.settings import files_shown, read_settings, resolve
from felloe.settings_merged import Settings, of_study


def reader_of(word: str, does: str, options: Mapping[str, str]) -> argparse.ArgumentParser:
    """
    Return what reads the words after one of the command's words.

    Parameters
    ----------
    word, does : str
        The word, and what it does.
    options : mapping of str to str
        Its own options, which take no value, and what each does.
    """
    reader = argparse.ArgumentParser(prog=f"scripts/run {word}", description=does)
    reader.add_argument("study", metavar="STUDY", help="name of a study in the settings")
    for option, means in options.items():
        reader.add_argument(option, action="store_true", help=means)
    reader.add_argument("--configfile", nargs="*", default=[], metavar="FILE")
    return reader


def settings_and_folder(study: str, configfiles: Sequence[str]) -> tuple[Settings, Path]:
    """Return the settings of a study, and its folder; or say which was probably meant."""
    shown = files_shown(configfiles)
    settings = resolve(read_settings(configfiles), shown)
    studies = settings["studies"]
    if study not in studies:
        problem, remedy = "is no study of these settings", meant_study(study, studies)
        raise StudyError(
            [Fault(shown, column="studies", value=study, problem=problem, remedy=remedy)]
        )
    return of_study(settings, study), Path(studies[study])


def ended(act: Callable[[], int], unfinished: str) -> int:
    """
    Do what was asked; return the exit status.

    Parameters
    ----------
    act : callable
        Returns the exit status where nothing keeps it from its end.
    unfinished : str
        What is said where a file can't be read or written, with a place for the reason: `why`.
    """
    try:
        return act()
    except StudyError as error:
        sys.stderr.write(f"{error}\n")
    except OSError as error:
        why = f"{error.strerror} ({error.filename})"
        sys.stderr.write(f"{unfinished.format(why=why)}\n")
    except KeyboardInterrupt:  # the launcher says so
        return 130
    return 1
