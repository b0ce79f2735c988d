"""Step: what went into a comparison or a timeline and what came out, by their hashes."""

from typing import Any

from felloe.ground.files.hashes import hashes_of
from felloe.ledger import entries_of
from felloe.report.origin.manifest import write_manifest, write_sums, written_by
from felloe.report.origin.surroundings import write_surroundings


def main(
    *,
    results: list[str],
    manifest: str,
    sums: str,
    environment: str,
    older: str,
    newer: str,
    timeline: list[str],
    folder: str,
    settings_files: list[str],
    identity: dict[str, str],
    config: dict[str, Any],
    reads_ledger: bool,
) -> None:
    """Hash what was read and written; say with what it was made."""
    outputs = hashes_of(results, folder)
    write_manifest(
        manifest,
        about={"older": older, "newer": newer, **({"timeline": timeline} if timeline else {})},
        identity=identity,
        config=config,
        inputs={},
        outputs=outputs,
        entries=written_by(entries_of(folder), results),
    )
    write_sums(sums, outputs, manifest)
    write_surroundings(environment, settings_files)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
