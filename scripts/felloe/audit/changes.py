"""In what two runs differ, and where the difference of a file comes from: codes and names."""

from dataclasses import dataclass

INPUT, SETTING, CODE, VERSION, STUDY = "input", "setting", "code", "version", "study"
CHANGED_LATER, LOST, SURROUNDINGS = "changed_later", "lost", "surroundings"
READ_OTHERWISE = "read_otherwise"
ONE_RUN, UNRECORDED = "one_run", "unrecorded"


@dataclass(frozen=True, order=True)
class Change:
    """
    Something in which two runs differ.

    Attributes
    ----------
    kind : str
        input: a file of the study; setting; code: of a step, or of the project; version: of a
        package, or of the project; study: results of another study that were read; changed_later:
        a file that no longer is what its run recorded; lost: one that is gone; read_otherwise: one
        that was not as it was made when the next step read it; surroundings:
        nothing that is recorded differs, and yet the outcome does; one_run: a step that only one
        of the two took; unrecorded: the maker, or what it read, stands in no record.
    name : str
        File, dotted key, step, package or study.
    was, now : str
        Values where there are any; of what was changed later, the side says which folder.
    side : {"", "was", "now"}
    """

    kind: str
    name: str
    was: str = ""
    now: str = ""
    side: str = ""


@dataclass(frozen=True)
class Trace:
    """
    Where the difference of one file comes from.

    Attributes
    ----------
    path : str
    step : str
        That made the file; empty: not recorded.
    inputs : tuple of str
        What that step read and what differs, own results relative to the folder.
    own : tuple of Change
        In what the step itself differs: code, settings, versions.
    causes : tuple of Change
        Where the walk up through the steps ended.
    """

    path: str
    step: str = ""
    inputs: tuple[str, ...] = ()
    own: tuple[Change, ...] = ()
    causes: tuple[Change, ...] = ()


NO_FOLDER, NO_MANIFEST, BAD_MANIFEST = "no_folder", "no_manifest", "bad_manifest"
NO_LEDGER, BAD_LEDGER = "no_ledger", "bad_ledger"


@dataclass(frozen=True)
class Note:
    """
    What a comparison had to do without.

    Attributes
    ----------
    code : {"no_folder", "no_manifest", "bad_manifest", "no_ledger", "bad_ledger"}
    side : {"was", "now"}
    detail : str
        The file concerned, and what is wrong with it.
    """

    code: str
    side: str
    detail: str = ""
