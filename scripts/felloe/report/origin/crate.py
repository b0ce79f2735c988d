"""
The description of results for other programs: RO-Crate 1.1 and Process Run Crate 0.5.

Plain JSON-LD in a fixed order. It says nothing of time, person or machine: the date that the
format demands is the edition's, and the run has neither start nor end.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any
from urllib.parse import quote

CRATE = "ro-crate-metadata.json"
SPECIFICATION = "https://w3id.org/ro/crate/1.1"
CONTEXT = [f"{SPECIFICATION}/context", "https://w3id.org/ro/terms/workflow-run/context"]
PROCESS_RUN = ("https://w3id.org/ro/wfrun/process/0.5", "Process Run Crate", "0.5")
FORMATS = {
    "csv": "text/csv",
    "css": "text/css",
    "gpl": "text/plain",
    "html": "text/html",
    "json": "application/json",
    "jsonld": "application/ld+json",
    "md": "text/markdown",
    "nwk": "text/x-nh",
    "pdf": "application/pdf",
    "png": "image/png",
    "svg": "image/svg+xml",
    "ttl": "text/turtle",
    "txt": "text/plain",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "yaml": "application/yaml",
}
PROJECT = "#felloe"
RUN = "#run"
BESIDE = ("SHA256SUMS", "environment.json", "manifest.json")

Entity = dict[str, Any]
Profile = tuple[str, str, str]  # address, name, version


def reference(path: str) -> Entity:
    """Return the reference to a file or folder, by its path within the crate."""
    return {"@id": quote(path)}


def file_entity(path: str, name: str = "") -> Entity:
    """Return the entity of a file in the crate."""
    entity: Entity = {**reference(path), "@type": "File", "name": name or path}
    ending = path.rpartition(".")[2]
    if ending in FORMATS:
        entity["encodingFormat"] = FORMATS[ending]
    return entity


def folder_entity(path: str, name: str) -> Entity:
    """Return the entity of a folder in the crate; its path ends in a slash."""
    return {**reference(path), "@type": "Dataset", "name": name}


def descriptor(conforms: Iterable[str] = ()) -> Entity:
    """Return the entity that says what the metadata file itself is."""
    uris = [{"@id": uri} for uri in (SPECIFICATION, *conforms)]
    return {
        "@id": CRATE,
        "@type": "CreativeWork",
        "conformsTo": uris if len(uris) > 1 else uris[0],
        "about": {"@id": "./"},
    }


def profile_entities(profiles: Iterable[Profile]) -> list[Entity]:
    """Return the entities of the profiles that a crate keeps to."""
    return [
        {"@id": uri, "@type": "CreativeWork", "name": name, "version": version}
        for uri, name, version in profiles
    ]


def licensed(licenses: Iterable[str]) -> tuple[Entity, list[Entity]]:
    """
    Return what a crate's root says of its license, and the entities that it refers to.

    Parameters
    ----------
    licenses : iterable of str
        As stated; an address becomes an entity, anything else stays a text.

    Returns
    -------
    property : dict
        Empty where no license was stated.
    entities : list of dict
    """
    stated = sorted({text for text in licenses if text})
    addresses = [text for text in stated if "://" in text]
    values: list[Any] = [{"@id": text} if text in addresses else text for text in stated]
    entities = [{"@id": text, "@type": "CreativeWork", "name": text} for text in addresses]
    if not values:
        return {}, []
    return {"license": values if len(values) > 1 else values[0]}, entities


def results_crate(
    study: str,
    about: Mapping[str, Any],
    files: Sequence[str],
    inputs: Sequence[str],
    version: str,
) -> Entity:
    """
    Describe the results of a study.

    Parameters
    ----------
    study : str
    about : dict
        `validation/study.json`.
    files : sequence of str
        Paths of the results, relative to their folder.
    inputs : sequence of str
        Names of the study's own files; they lie elsewhere, and the manifest has their hashes.
    version : str
        Of the project.

    Returns
    -------
    dict
        JSON-LD.
    """
    parts = sorted({*files, *BESIDE})
    given = [f"#study/{name}" for name in sorted(inputs)]
    stated, license_entities = licensed([str(about.get("license", ""))])
    graph = [
        descriptor(),
        {**root_entity(study, about, parts), **stated},
        *profile_entities([PROCESS_RUN]),
        {
            "@id": PROJECT,
            "@type": "SoftwareApplication",
            "name": "Felloe",
            "softwareVersion": version,
        },
        action_entity(study, given, parts),
        *license_entities,
        *(
            {"@id": name, "@type": "CreativeWork", "name": name.removeprefix("#study/")}
            for name in given
        ),
        *map(file_entity, parts),
        folder_entity("ledger/", "What each step read and wrote, as hashes"),
    ]
    return {"@context": CONTEXT, "@graph": graph}


def root_entity(study: str, about: Mapping[str, Any], parts: Sequence[str]) -> Entity:
    """Return the entity of the results as a whole."""
    return {
        "@id": "./",
        "@type": "Dataset",
        "name": about["title"],
        "description": f"Results of the study {study}, edition {about['edition']}: tables, "
        "figures, reports, and the manifest with the hash of every input and output.",
        "datePublished": about["edition"],
        "conformsTo": {"@id": PROCESS_RUN[0]},
        "hasPart": [*map(reference, parts), {"@id": "ledger/"}],
        "mentions": [{"@id": RUN}],
    }


def action_entity(study: str, given: Sequence[str], parts: Sequence[str]) -> Entity:
    """Return the entity of the run; it has neither start nor end."""
    return {
        "@id": RUN,
        "@type": "CreateAction",
        "name": f"From the sorts of {study} to its wheel and report",
        "description": "The settings stand in manifest.json under `config`.",
        "instrument": {"@id": PROJECT},
        "object": [{"@id": name} for name in given],
        "result": [*map(reference, parts)],
    }
