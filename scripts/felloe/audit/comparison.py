"""Two folders of results compared: files, cells, entries, causes and what follows."""

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from felloe.audit.causes import Walk, compare_runs
from felloe.audit.cells import compare_tables
from felloe.audit.changes import NO_FOLDER, Change, Note, Trace
from felloe.audit.chart_changes import Effects
from felloe.audit.differences import (
    DIFFERS,
    NOW,
    SAME,
    WAS,
    ContentDifference,
    EntryDifference,
    FileState,
    TableDifference,
)
from felloe.audit.effects import effects_between
from felloe.audit.files import compare_files
from felloe.audit.pair_changes import PairEffects
from felloe.audit.pair_effects import pair_effects
from felloe.audit.pair_reading import read_pairs
from felloe.audit.quick import beside_manifest
from felloe.audit.reading import read_outcome
from felloe.audit.records import compare_contents, kind_of
from felloe.audit.runs import Run, read_run
from felloe.ground.edition_lists import EDITIONS

ENVIRONMENT = "environment.json"
PAIRED = "--"  # between the two studies in the name of a pair's folder


@dataclass(frozen=True)
class Comparison:
    """
    Two folders of results of one study, or of one pair of editions.

    Attributes
    ----------
    name : str
        The study, or `{older}--{newer}`.
    files : tuple of FileState
        Every file of either folder, by path.
    tables : tuple of TableDifference
    contents : tuple of ContentDifference
    traces : tuple of Trace
        One for each file that is not the same.
    changes : tuple of Change
        In what the two runs differ, whether or not a file comes from it.
    listed : frozenset of str
        The files that the first folder's manifest lists.
    beside : tuple of str
        The first folder's files that its manifest does not list, and its sums where they are not
        the manifest's.
    effects : Effects or None
        None for a pair of editions.
    pair : PairEffects or None
        None for a study, and where neither folder holds a comparison or a timeline.
    notes : tuple of Note
    surroundings : tuple of EntryDifference
        In what both runs say they were made on; it may name a machine, so no page shows it.
    """

    name: str
    files: tuple[FileState, ...]
    tables: tuple[TableDifference, ...] = ()
    contents: tuple[ContentDifference, ...] = ()
    traces: tuple[Trace, ...] = ()
    changes: tuple[Change, ...] = ()
    listed: frozenset[str] = frozenset()
    beside: tuple[str, ...] = ()
    effects: Effects | None = None
    pair: PairEffects | None = None
    notes: tuple[Note, ...] = ()
    surroundings: tuple[EntryDifference, ...] = ()

    @property
    def different(self) -> tuple[FileState, ...]:
        """The files that are not the same."""
        return tuple(file for file in self.files if file.state != SAME)

    @property
    def same(self) -> bool:
        """Whether both folders are there and hold the same files."""
        return not self.different and all(note.code != NO_FOLDER for note in self.notes)

    @property
    def reproduced(self) -> bool:
        """
        Whether every file that the first folder's manifest lists is the same in the second.

        Without a manifest every file of either folder counts. The manifest itself names what the
        run was made with, so it may differ where no result does; a file that it does not list, such
        as one that somebody put beside the results, does not count either: see `whole`.
        """
        if not self.listed:
            return self.same
        same = {file.path for file in self.files if file.state == SAME}
        folders = all(note.code != NO_FOLDER for note in self.notes)
        return folders and self.listed <= same

    @property
    def whole(self) -> bool:
        """Whether it was reproduced, and nothing stands beside what the manifest lists."""
        return self.reproduced and not self.beside

    def number(self, state: str) -> int:
        """Return how many files are in a state."""
        return sum(file.state == state for file in self.files)

    def trace(self, path: str) -> Trace:
        """Return where the difference of a file comes from."""
        return next((trace for trace in self.traces if trace.path == path), Trace(path))

    def table(self, path: str) -> TableDifference | None:
        """Return how a table differs, None if the file is no table or not on both sides."""
        return next((table for table in self.tables if table.path == path), None)

    def content(self, path: str) -> ContentDifference | None:
        """Return how a record, tree, vocabulary or text differs, None if the file is none."""
        return next((content for content in self.contents if content.path == path), None)


def compare_folders(was: Path, now: Path) -> Comparison:
    """
    Compare two folders of results of one study, or of one pair of editions.

    Nothing is written. Files that can not be read or parsed, and folders without manifest or
    ledger, are said to be so and stop nothing.

    Parameters
    ----------
    was, now : Path
        `results/{study}` or `results/editions/{older}--{newer}` of two runs.

    Returns
    -------
    Comparison
    """
    one, other = read_run(Path(was)), read_run(Path(now))
    files = compare_files(one.files, other.files)
    differ = [file.path for file in files if file.state == DIFFERS]
    walk = Walk(one, other)
    paired = is_of_pair(one, other)
    charts = [] if paired else [read_outcome(run.folder) for run in (one, other)]
    return Comparison(
        name=one.name,
        files=files,
        tables=tables_of(differ, one.folder, other.folder),
        contents=contents_of(differ, one.folder, other.folder),
        traces=tuple(walk.trace(file.path) for file in files if file.state != SAME),
        changes=compare_runs(one, other),
        listed=frozenset(one.listed),
        beside=tuple(beside_manifest(one)),
        effects=effects_between(*charts) if charts else None,
        pair=effects_of_pair(one.folder, other.folder) if paired else None,
        notes=tuple(
            Note(code, side, detail)
            for run, side in ((one, WAS), (other, NOW))
            for code, detail in run.problems
        ),
        surroundings=surroundings_of(one.folder, other.folder),
    )


def effects_of_pair(was: Path, now: Path) -> PairEffects | None:
    """Return what follows for a comparison of editions or a timeline, None where none is there."""
    read = read_pairs(was, now)
    return None if read is None else pair_effects(*read)


def is_of_pair(was: Run, now: Run) -> bool:
    """Tell whether two folders are of a pair of editions; by the name where no manifest tells."""
    told = [run.manifest for run in (was, now) if {"older", "study"}.intersection(run.manifest)]
    return any("older" in each for each in told) if told else PAIRED in was.name


def surroundings_of(was: Path, now: Path) -> tuple[EntryDifference, ...]:
    """Return in what two runs say they were made on; nothing if one of them says nothing."""
    name = ENVIRONMENT
    if not (was / name).is_file() or not (now / name).is_file():
        return ()
    return compare_contents(name, was / name, now / name).entries


def tables_of(paths: Iterable[str], was: Path, now: Path) -> tuple[TableDifference, ...]:
    """Return how the tables among some files differ."""
    return tuple(
        compare_tables(path, was / path, now / path) for path in paths if path.endswith(".csv")
    )


def contents_of(paths: Iterable[str], was: Path, now: Path) -> tuple[ContentDifference, ...]:
    """Return how the records, trees, vocabularies and texts among some files differ."""
    return tuple(
        compare_contents(path, was / path, now / path)
        for path in paths
        if kind_of(path) is not None
    )


def compare_results(was: Path, now: Path) -> tuple[Comparison, ...]:
    """
    Compare two whole folders `results`: every study and pair of editions that either has.

    Parameters
    ----------
    was, now : Path

    Returns
    -------
    tuple of Comparison
        Studies first, then pairs, by name; one that only one side has says so in its notes.
    """
    names = {name for results in (was, now) for name in folders_of(results)}
    pairs = {name for results in (was, now) for name in folders_of(results / EDITIONS)}
    return (
        *(compare_folders(was / name, now / name) for name in sorted(names - {EDITIONS})),
        *(compare_folders(was / EDITIONS / name, now / EDITIONS / name) for name in sorted(pairs)),
    )


def folders_of(results: Path) -> set[str]:
    """Return the names of the folders of a folder, none if it is not there."""
    if not results.is_dir():
        return set()
    return {path.name for path in results.iterdir() if path.is_dir() and path.name[:1] != "."}
