"""How Snakemake calls a step: a step is a function, its keywords are the rule's names."""

import os
import sys
import traceback
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from felloe import ledger
from felloe.errors import StudyError
from felloe.study_places import as_typed
from felloe.versions import CODE_VARIABLE as CODE
from felloe.versions import package_versions, project_code


def named_items(items: Any) -> dict[str, Any]:
    """Return the named entries of one of Snakemake's lists as a dictionary of plain values."""
    return {name: plain(items.get(name)) for name in items.keys()}  # noqa: SIM118


def plain(value: Any) -> Any:
    """Turn Snakemake's lists and marked strings into lists and strings."""
    if isinstance(value, str):
        return str(value)
    if isinstance(value, (list, tuple)):
        return [plain(entry) for entry in value]
    return value


def run_step(main: Callable[..., None]) -> None:
    """
    Call a step with the names of its rule and turn what goes wrong into one screen.

    What is read is hashed before and after, and held against the ledger; what was written is
    entered there.

    Parameters
    ----------
    main : callable
        Takes every named input (but `code`), output and param of the rule as a keyword.
    """
    snakemake: Any = vars(sys.modules["__main__"])["snakemake"]  # put there by Snakemake
    arguments: dict[str, Any] = {}
    for items in (snakemake.input, snakemake.output, snakemake.params):
        arguments.update(named_items(items))
    arguments.pop("code", None)
    log = Path(snakemake.log[0])
    log.parent.mkdir(parents=True, exist_ok=True)
    console = sys.stdout, sys.stderr
    with open(log, "w", encoding="utf-8") as stream:
        sys.stdout = sys.stderr = stream
        try:
            with entered(snakemake):
                main(**arguments)
        except StudyError as error:
            stream.write(f"{error.told(as_typed)}\n")
            failed = True
        except OSError as error:
            traceback.print_exc(file=stream)
            place = f" ({Path(error.filename).name})" if error.filename else ""
            stream.write(f"\n{snakemake.rule}: {error.strerror or error}{place}\n")
            failed = True
        except Exception as error:
            traceback.print_exc(file=stream)
            stream.write(f"\n{snakemake.rule}: {type(error).__name__}: {error}\n")
            failed = True
        else:
            failed = False
        finally:
            sys.stdout, sys.stderr = console
    if failed:
        sys.stdout.flush()
        os._exit(1)  # Snakemake shows the log; a traceback of this line would say nothing


@contextmanager
def entered(snakemake: Any) -> Iterator[None]:
    """
    Enter a job into the ledger when it has ended well.

    While it is at work there is no entry, so that an interrupted job is not taken for a file that
    somebody changed. A job that fails and leaves earlier results as they were leaves their entry.
    """
    params = named_items(snakemake.params)
    inputs = ledger.recorded_paths(named_items(snakemake.input), ledger.UNRECORDED_INPUTS)
    outputs = ledger.recorded_paths(named_items(snakemake.output), ())
    home = ledger.entry_path(str(snakemake.log[0]))
    check_code()
    before = ledger.hashed(inputs)
    ledger.check_as_written(before)
    entries = {ledger.ENTRIES: ledger.entries_hash(home)} if ledger.READS_LEDGER in params else {}
    earlier = ledger.read_entry(home)
    ledger.remove_entry(home)
    try:
        yield
        ledger.check_unchanged(before, ledger.hashed(inputs))
        check_code()
    except BaseException:
        if earlier is not None and as_recorded(outputs, earlier):
            ledger.write_entry(home, earlier)
        raise
    entry = ledger.Entry(
        step=ledger.step_of(str(snakemake.log[0])),
        code=str(params.get("code", "")),
        settings=ledger.recorded_settings(params),
        versions=package_versions(),
        inputs={**before, **entries},
        outputs=ledger.hashed(outputs),
    )
    ledger.write_entry(home, entry)


def check_code() -> None:
    """Refuse to go on with code that is not what the run was planned with."""
    planned_with = os.environ.get(CODE)
    if planned_with and project_code() != planned_with:
        raise StudyError(
            "The project's code changed while the run was at work. Call the same command again."
        )


def as_recorded(outputs: list[str], entry: ledger.Entry) -> bool:
    """Return whether a job's outputs are what an entry says."""
    return all(Path(path).is_file() for path in outputs) and ledger.hashed(outputs) == entry.outputs
