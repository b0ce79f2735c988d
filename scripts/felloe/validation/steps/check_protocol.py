"""Step: whether this run is what was frozen before the data were seen."""

from typing import Any

from felloe import __version__
from felloe.ground.files.records import read_json
from felloe.validation.protocol import departures, previewed, protocol_of
from felloe.validation.protocol_record import read_protocol, write_record
from felloe.validation.tables import TERMS


def main(
    *,
    about: str,
    terms: str,
    protocol: list[str],
    study: str,
    settings: dict[str, Any],
    record: str,
    validated: tuple[str, ...] = (),
) -> None:
    """Hold settings, instruction, terms and populations against the study's protocol."""
    if not protocol:
        write_record(record)
        return
    frozen, sha256 = read_protocol(protocol[0])
    now = protocol_of(study, read_json(about), TERMS.read(terms), settings, __version__)
    as_run, n_lowered = previewed(frozen, settings)
    found = departures(as_run, now)
    write_record(record, frozen, sha256, found, n_lowered)
    print(f"{len(found)} departures from the protocol")
