"""Two folders of results compared: files, cells, entries, causes and what follows."""

from collections.abc import Iterable
from pathlib import Path

from felloe.audit.causes import Walk, compare_runs
from felloe.audit.cells import compare_tables
from felloe.audit.differences import (
    DIFFERS,
    NOW,
    SAME,
    WAS,
    Comparison,
    ContentDifference,
    EntryDifference,
    Note,
    TableDifference,
)
from felloe.audit.effects import effects_between
from felloe.audit.files import compare_files
from felloe.audit.reading import read_outcome
from felloe.audit.records import compare_contents, kind_of
from felloe.audit.runs import read_run

EDITIONS = "editions"
ENVIRONMENT = "environment.json"
PAIRED = "--"  # between the two studies in the name of a pair's folder


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
    pair = any("older" in run.manifest for run in (one, other)) or PAIRED in one.name
    charts = [] if pair else [read_outcome(run.folder) for run in (one, other)]
    return Comparison(
        name=one.name,
        files=files,
        tables=tables_of(differ, one.folder, other.folder),
        contents=contents_of(differ, one.folder, other.folder),
        traces=tuple(walk.trace(file.path) for file in files if file.state != SAME),
        changes=compare_runs(one, other),
        listed=frozenset(one.listed()),
        effects=effects_between(*charts) if charts else None,
        notes=tuple(
            Note(code, side, detail)
            for run, side in ((one, WAS), (other, NOW))
            for code, detail in run.problems
        ),
        surroundings=surroundings_of(one.folder, other.folder),
    )


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
