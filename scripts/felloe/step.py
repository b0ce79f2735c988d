"""The only module that knows Snakemake: a step is a function, its keywords are the rule's names."""

import os
import sys
import traceback
from collections.abc import Callable
from pathlib import Path
from typing import Any

from felloe.errors import StudyError


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
            main(**arguments)
        except StudyError as error:
            stream.write(f"{error}\n")
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
