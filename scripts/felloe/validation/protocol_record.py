"""`protocol.json` in a study's folder, and the record of what became of it in a run."""

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

from felloe.errors import Fault
from felloe.ground.files.records import jsonable, write_json
from felloe.ground.files.writing import write_bytes
from felloe.validation.protocol import FORMAT, KEYS, Departure, Protocol

PROTOCOL = "protocol.json"
RESTORE = "Put the file back as it was frozen, from the copy that was deposited."


def protocol_bytes(protocol: Protocol) -> bytes:
    """Return a protocol in its one form: UTF-8, keys sorted, indented by two, `\\n` line ends."""
    text = json.dumps(jsonable(protocol), sort_keys=True, indent=2, ensure_ascii=False)
    return f"{text}\n".encode()


def write_protocol(path: str | Path, protocol: Protocol) -> str:
    """Write a protocol; return the SHA-256 of the file's bytes, as `sha256sum` gives it."""
    data = protocol_bytes(protocol)
    write_bytes(path, data)
    return hashlib.sha256(data).hexdigest()


def read_protocol(path: str | Path) -> tuple[dict[str, Any], str]:
    """Return a protocol and the SHA-256 of its file; the file was checked (`protocol_faults`)."""
    data = Path(path).read_bytes()
    protocol: dict[str, Any] = json.loads(data)
    return protocol, hashlib.sha256(data).hexdigest()


def protocol_faults(path: str | Path, file: str = PROTOCOL) -> list[Fault]:
    """
    Return what is wrong with a protocol: nothing, unless it was touched after it was frozen.

    Parameters
    ----------
    path : str or Path
    file : str
        Its name in messages.
    """
    data = Path(path).read_bytes()
    try:
        protocol = json.loads(data)
    except json.JSONDecodeError as error:
        column = f"character {error.colno}"
        return [Fault(file, error.lineno, column, "", f"is no JSON ({error.msg})", RESTORE)]
    except (ValueError, RecursionError):
        return [Fault(file, problem="is no JSON in UTF-8", remedy=RESTORE)]
    if not isinstance(protocol, dict) or protocol.get("format") != FORMAT:
        problem = f"is no protocol of the form {FORMAT}"
        remedy = "Make it with `freeze`, or take it out of the study's folder."
        return [Fault(file, problem=problem, remedy=remedy)]
    if not is_whole(protocol) or protocol_bytes(protocol) != data:
        problem = "is not in the form in which `freeze` writes it: somebody changed it afterwards"
        return [Fault(file, problem=problem, remedy=RESTORE)]
    return []


def is_whole(protocol: Protocol) -> bool:
    """Return whether a protocol has the parts that `freeze` writes."""
    if sorted(protocol) != list(KEYS):
        return False
    mappings = isinstance(protocol["settings"], dict) and isinstance(protocol["terms"], dict)
    people = protocol["populations"]
    return (
        mappings
        and isinstance(protocol["data_seen"], bool)
        and isinstance(people, list)
        and all(isinstance(each, dict) and sorted(each) == ["id", "label"] for each in people)
    )


def write_record(
    path: str | Path,
    frozen: Protocol | None = None,
    sha256: str | None = None,
    found: Sequence[Departure] = (),
    n_lowered: int = 0,
) -> None:
    """
    Write whether a run keeps to the study's protocol.

    Parameters
    ----------
    path : str or Path
    frozen : mapping, optional
        None if the study has no protocol.
    sha256 : str, optional
        Of the protocol's file.
    found : sequence of Departure
    n_lowered : int
        Settings that a preview lowers, which are no departures.
    """
    state = "none" if frozen is None else "departed" if found else "kept"
    about: Mapping[str, Any] = frozen or {}
    write_json(
        path,
        {
            "state": state,
            "sha256": sha256,
            "data_seen": about.get("data_seen"),
            "departures": [asdict(each) for each in found],
            **({"lowered_by_preview": n_lowered} if n_lowered else {}),
        },
    )
