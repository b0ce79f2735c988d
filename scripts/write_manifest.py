"""Step: what went into a study's results and what came out, by their hashes."""

from typing import Any

from felloe.ground.files.records import read_json
from felloe.report.manifest import hashes_of, write_manifest


def main(
    *,
    inputs: list[str],
    results: list[str],
    dossier: str,
    manifest: str,
    study: str,
    folder: str,
    source: str,
    settings: dict[str, Any],
) -> None:
    """Hash the study's own files and all results."""
    asked = settings["comparison"]["pooling"]
    pooling = {
        "asked": asked,
        "override": asked if asked != "decide" else None,
        "verdict": read_json(dossier)["verdict"],
    }
    write_manifest(
        manifest,
        study=study,
        settings=settings,
        inputs=hashes_of(inputs, source),
        outputs=hashes_of(results, folder),
        pooling=pooling,
    )


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
