"""The manifest: what went in, what came out, with which settings, code and versions."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from felloe.errors import StudyError
from felloe.ground.files.hashes import sha256_of, sums_text
from felloe.ground.files.records import write_json
from felloe.ground.files.writing import write_text
from felloe.ledger import OWN, RESULTS, Entry, home_of
from felloe.versions import package_versions


def project_record(identity: Mapping[str, str]) -> dict[str, str]:
    """Return what the project is: its version, and the hashes of its code and its lock."""
    return {"name": "felloe", **identity}


def own_inputs(inputs: Mapping[str, str], entries: Mapping[str, Entry]) -> dict[str, str]:
    """
    Return the hashes of a study's own files, as they were when they were read.

    Parameters
    ----------
    inputs : mapping of str to str
        Name to SHA-256, as the files are now.
    entries : mapping of str to Entry
        Without that of the manifest's own job.

    Raises
    ------
    StudyError
        If a file was changed since it was read.
    """
    read: dict[str, str] = {}
    for entry in entries.values():
        read |= {
            name.removeprefix(OWN): value
            for name, value in entry.inputs.items()
            if name.startswith(OWN)
        }
    changed = sorted(name for name in {*inputs, *read} if inputs.get(name) != read.get(name))
    if changed:
        raise StudyError(
            f"{', '.join(changed)} changed while the study ran, so that the results are of what "
            "was there before. Call the same command again."
        )
    return dict(sorted(inputs.items()))


def made_with(
    entries: Mapping[str, Entry], outputs: Mapping[str, str], home: str
) -> list[dict[str, Any]]:
    """
    Return the versions that results were made with.

    Parameters
    ----------
    entries : mapping of str to Entry
    outputs : mapping of str to str
        Lasting results, relative to their folder, to SHA-256.
    home : str
        That folder.

    Returns
    -------
    list of dict
        `packages`, `steps` and `outputs` for each set of versions, sorted.
    """
    groups: dict[tuple[tuple[str, str], ...], list[Entry]] = {}
    for entry in entries.values():
        groups.setdefault(tuple(sorted(entry.versions.items())), []).append(entry)
    found = []
    for versions, made in groups.items():
        paths = {path.removeprefix(f"{home}/") for entry in made for path in entry.outputs}
        found.append(
            {
                "packages": dict(versions),
                "steps": sorted({entry.step for entry in made}),
                "outputs": sorted(paths.intersection(outputs)),
            }
        )
    return sorted(found, key=lambda group: group["steps"])


def graph_of(entries: Mapping[str, Entry]) -> dict[str, list[str]]:
    """Return for each step the steps whose results it read, both sorted."""
    makers = {path: entry.step for entry in entries.values() for path in entry.outputs}
    read: dict[str, set[str]] = {}
    for entry in entries.values():
        read.setdefault(entry.step, set()).update(
            makers[path] for path in entry.inputs if path in makers
        )
    return {step: sorted(read[step] - {step}) for step in sorted(read)}


def of_other_studies(entries: Mapping[str, Entry], home: str) -> dict[str, dict[str, str]]:
    """
    Return the results of other studies that were read, by study.

    Parameters
    ----------
    entries : mapping of str to Entry
    home : str
        The folder of the results, as `results/{study}`.

    Returns
    -------
    dict of str to dict
        Study to path within its results to SHA-256.
    """
    found: dict[str, dict[str, str]] = {}
    for entry in entries.values():
        for path, value in entry.inputs.items():
            if path.startswith(RESULTS) and not path.startswith(f"{home}/"):
                folder = home_of(path)
                inside = path.removeprefix(f"{folder}/")
                found.setdefault(folder.removeprefix(RESULTS), {})[inside] = value
    return {study: dict(sorted(found[study].items())) for study in sorted(found)}


def write_manifest(
    path: str,
    *,
    about: Mapping[str, Any],
    identity: Mapping[str, str],
    config: Mapping[str, Any],
    inputs: Mapping[str, str],
    outputs: Mapping[str, str],
    entries: Mapping[str, Entry],
) -> None:
    """
    Write the manifest of a study, or of two editions.

    Parameters
    ----------
    path : str
        Ends in `manifest.json`; what other studies' results it names lie outside its folder.
    about : dict
        What it is of: `study` and `pooling`, or `older` and `newer`, and what lies between them.
    identity : dict of str to str
        `version`, `code` and `lock` of the project.
    config : dict
        Settings as a settings file could hold them.
    inputs, outputs : dict of str to str
        Relative path to SHA-256.
    entries : dict of str to Entry
        The ledger beside the results.
    """
    home = path.removesuffix("/manifest.json")
    record = {
        "project": project_record(identity),
        **about,
        "seed": config["seed"],
        "config": config,
        "packages": package_versions(),
        "versions": made_with(entries, outputs, home),
        "inputs": inputs,
        "other_studies": of_other_studies(entries, home),
        "outputs": outputs,
        "graph": graph_of(entries),
    }
    write_json(path, record)


def write_sums(path: str, outputs: Mapping[str, str], manifest: str) -> None:
    """
    Write the sums of all results and of the manifest, for `sha256sum -c`.

    Parameters
    ----------
    path : str
    outputs : dict of str to str
        Path relative to the folder of the sums, to SHA-256.
    manifest : str
        Path of the manifest.
    """
    sums = {**outputs, "manifest.json": sha256_of(manifest)}
    write_text(path, sums_text(sums))


def written_by(entries: Mapping[str, Entry], outputs: Iterable[str]) -> dict[str, Entry]:
    """Return the entries that wrote some of these results, as paths from the working folder."""
    known = set(outputs)
    return {name: entry for name, entry in entries.items() if not known.isdisjoint(entry.outputs)}


def reading_steps(entries: Mapping[str, Entry], without: Sequence[str]) -> dict[str, Entry]:
    """Return the entries of the steps that a manifest is about, without those that write one."""
    return {name: entry for name, entry in entries.items() if entry.step not in without}
