"""Step: what went into a study's results and what came out, by their hashes."""

from typing import Any

from felloe.ground.files.hashes import hashes_of
from felloe.ground.files.records import read_json
from felloe.ledger import Entry, entries_of
from felloe.report.origin.manifest import own_inputs, reading_steps, write_manifest, write_sums
from felloe.report.origin.surroundings import write_surroundings
from felloe.versions import package_versions

OWN_JOB = "write_report"  # it has no entry as long as it is at work


def main(
    *,
    inputs: list[str],
    results: list[str],
    concluding: list[str],
    dossier: str,
    protocol: str,
    whose: str,
    manifest: str,
    sums: str,
    environment: str,
    study: str,
    folder: str,
    source: str,
    settings_files: list[str],
    identity: dict[str, str],
    config: dict[str, Any],
    reads_ledger: bool,
) -> None:
    """Hash the study's own files and all results; say with what they were made."""
    charted = read_json(whose)
    pooling = {
        "asked": config["comparison"]["pooling"],
        **{name: charted[name] for name in ("override", "override_reason", "provisional")},
        "verdict": read_json(dossier)["verdict"],
    }
    about = {
        "study": study,
        "pooling": pooling,
        "preview": config["preview"],
        "protocol": read_json(protocol),
    }
    outputs = hashes_of([*results, *concluding], folder)
    own = Entry(
        OWN_JOB,
        "",
        {},
        package_versions(),
        dict.fromkeys(results, ""),
        dict.fromkeys(concluding, ""),
    )
    entries = {**reading_steps(entries_of(folder), [OWN_JOB]), OWN_JOB: own}
    write_manifest(
        manifest,
        about=about,
        identity=identity,
        config=config,
        inputs=own_inputs(hashes_of(inputs, source), entries),
        outputs=outputs,
        entries=entries,
    )
    write_sums(sums, outputs, manifest)
    write_surroundings(environment, settings_files)
