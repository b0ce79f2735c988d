"""The description of an archive for other programs: RO-Crate 1.1, Workflow Run Crate 0.5."""

from collections.abc import Mapping, Sequence
from typing import Any

from felloe import __version__
from felloe.report.origin.crate import (
    CONTEXT,
    PROCESS_RUN,
    RUN,
    Entity,
    descriptor,
    file_entity,
    folder_entity,
    licensed,
    profile_entities,
    reference,
)

WORKFLOW_RUN = ("https://w3id.org/ro/wfrun/workflow/0.5", "Workflow Run Crate", "0.5")
WORKFLOW = ("https://w3id.org/workflowhub/workflow-ro-crate/1.0", "Workflow RO-Crate", "1.0")
PROFILES = (PROCESS_RUN, WORKFLOW_RUN, WORKFLOW)
MAIN = "Snakefile"
SETTINGS = "settings.yaml"
LANGUAGE = {
    "@id": "https://w3id.org/workflowhub/workflow-ro-crate#snakemake",
    "@type": "ComputerLanguage",
    "name": "Snakemake",
    "identifier": {"@id": "https://doi.org/10.1093/bioinformatics/bts480"},
    "url": {"@id": "https://snakemake.readthedocs.io"},
}
FOLDERS = {"scripts/": "What the steps do", "workflow/": "The rules of the steps"}
CODE = (*FOLDERS, "config/")


def archive_crate(
    name: str,
    about: Mapping[str, Mapping[str, Any]],
    files: Sequence[str],
    inputs: Sequence[str],
    results: Sequence[str],
) -> Entity:
    """
    Describe an archive.

    Parameters
    ----------
    name : str
        Of the archive.
    about : dict
        Each study's `validation/study.json`.
    files : sequence of str
        Members of the archive, below its top folder.
    inputs, results : sequence of str
        Those of them that the studies' owners wrote, and that the run wrote.

    Returns
    -------
    dict
        JSON-LD. The date is that of the latest edition.
    """
    beside = {path for path in files if not path.startswith(CODE)}
    single = sorted({*beside, *inputs, *results})
    stated, license_entities = licensed(str(each.get("license", "")) for each in about.values())
    graph = [
        descriptor([WORKFLOW[0]]),
        {**root_entity(name, about, [*single, *FOLDERS]), **stated},
        *profile_entities(PROFILES),
        workflow_entity(),
        LANGUAGE,
        action_entity(name, sorted([*inputs, SETTINGS]), sorted(results)),
        *license_entities,
        *(file_entity(path) for path in single if path != MAIN),
        *(folder_entity(path, said) for path, said in FOLDERS.items()),
        *referred(LANGUAGE),
    ]
    return {"@context": CONTEXT, "@graph": graph}


def root_entity(name: str, about: Mapping[str, Mapping[str, Any]], parts: Sequence[str]) -> Entity:
    """Return the entity of the archive as a whole."""
    return {
        "@id": "./",
        "@type": "Dataset",
        "name": "; ".join(str(each["title"]) for each in about.values()),
        "description": f"{name}: inputs, settings, code and results, and how to make the results "
        "anew (HOW-TO-RERUN.txt).",
        "datePublished": max(str(each["edition"]) for each in about.values()),
        "conformsTo": [{"@id": profile[0]} for profile in PROFILES],
        "mainEntity": {"@id": MAIN},
        "hasPart": [*map(reference, parts)],
        "mentions": [{"@id": RUN}],
    }


def workflow_entity() -> Entity:
    """Return the entity of the workflow."""
    return {
        "@id": MAIN,
        "@type": ["File", "SoftwareSourceCode", "ComputationalWorkflow"],
        "name": "Felloe",
        "version": __version__,
        "programmingLanguage": {"@id": LANGUAGE["@id"]},
    }


def action_entity(name: str, inputs: Sequence[str], results: Sequence[str]) -> Entity:
    """Return the entity of the run; it has neither start nor end."""
    return {
        "@id": RUN,
        "@type": "CreateAction",
        "name": f"The run whose results {name} holds",
        "description": "python3 scripts/run --configfile settings.yaml",
        "instrument": {"@id": MAIN},
        "object": [*map(reference, inputs)],
        "result": [*map(reference, results)],
    }


def referred(entity: Mapping[str, Any]) -> list[Entity]:
    """Return entities for what an entity refers to on the web."""
    uris = [value["@id"] for value in entity.values() if isinstance(value, dict)]
    return [{"@id": uri, "@type": "WebPage", "name": uri} for uri in uris]
