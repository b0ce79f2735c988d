"""Step: the report, the description of the results, and the manifest over all of them."""

from collections.abc import Sequence
from typing import Any

from felloe.report.steps import write_crate, write_manifest, write_report
from felloe.validation.steps import check_protocol


def main(
    *,
    results: list[str],
    others: list[str],
    about: str,
    terms: str,
    protocol: list[str],
    protocol_record: str,
    study: str,
    settings: dict[str, Any],
    folder: str,
    report: str,
    crate: str,
    files: list[str],
    version: str,
    translations: Sequence[str] = (),
    inputs: Sequence[str] = (),
    **manifest: Any,
) -> None:
    """Hold the run against its protocol, tell the study, describe and hash what there is."""
    check_protocol.main(
        about=about,
        terms=terms,
        protocol=protocol,
        study=study,
        settings=settings,
        record=protocol_record,
    )
    shown = sorted([*results, protocol_record])
    write_report.main(
        results=shown,
        report=report,
        study=study,
        folder=folder,
        settings={name: value for name, value in settings.items() if name != "studies"},
        translations=translations,
    )
    write_crate.main(
        about=about, crate=crate, study=study, files=files, version=version, inputs=inputs
    )
    write_manifest.main(
        inputs=list(inputs),
        results=[*results, *others],
        concluding=[report, crate, protocol_record],
        protocol=protocol_record,
        study=study,
        folder=folder,
        **manifest,
    )


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
