"""
The description of results keeps to RO-Crate 1.1 and Process Run Crate 0.5.

Rules: RO-Crate 1.1, sections "Root Data Entity", "Data Entities" and "JSON-LD"; profile Process Run
Crate 0.5, table of requirements (researchobject.org).
"""

import json
import re

import pytest
from felloe.report.origin.crate import results_crate

ABOUT = {"title": "Words", "edition": "2026-03-27", "instruction": "Sort.", "populations": {}}
FILES = ["report/wheel.html", "tiers/a table.csv", "validation/study.json"]


def crate(**about):
    return results_crate("guild", {**ABOUT, **about}, FILES, ["sorts.csv", "study.yaml"], "1.2")


def entities(described):
    found = {entity["@id"]: entity for entity in described["@graph"]}
    assert len(found) == len(described["@graph"])  # each id once
    return found


def references(value):
    if isinstance(value, dict):
        assert list(value) == ["@id"]  # flattened: nothing but a reference inside an entity
        yield value["@id"]
    elif isinstance(value, list):
        for each in value:
            yield from references(each)


def test_the_descriptor_names_the_specification_and_the_root():
    found = entities(crate())["ro-crate-metadata.json"]
    assert found["@type"] == "CreativeWork"
    assert found["conformsTo"] == {"@id": "https://w3id.org/ro/crate/1.1"}
    assert found["about"] == {"@id": "./"}


def test_everything_that_is_referred_to_is_described():
    described = crate(license="https://creativecommons.org/licenses/by/4.0/")
    found = entities(described)
    outside = {"https://w3id.org/ro/crate/1.1"}
    for entity in found.values():
        assert entity["@type"]
        for key, value in entity.items():
            if key != "@type":
                assert set(references(value)) - outside <= set(found)


@pytest.mark.parametrize("edition", ["2026", "2026-03", "2026-03-27"])
def test_the_date_that_is_demanded_is_the_editions(edition):
    root = entities(crate(edition=edition))["./"]
    assert root["datePublished"] == edition  # a date of ISO 8601, as far as it is known
    assert root["name"] == "Words"


def test_a_license_that_is_an_address_is_an_entity():
    address = "https://creativecommons.org/licenses/by/4.0/"
    found = entities(crate(license=address))
    assert found["./"]["license"] == {"@id": address}
    assert found[address]["@type"] == "CreativeWork"


def test_a_license_that_is_a_name_stays_a_text():
    assert entities(crate(license="CC-BY-4.0"))["./"]["license"] == "CC-BY-4.0"


def test_no_license_is_made_up():
    assert "license" not in entities(crate())["./"]


def test_the_run_has_an_instrument_objects_and_results_and_no_time():
    found = entities(crate())
    run = found["#run"]
    assert run["@type"] == "CreateAction"
    assert run in [found[each["@id"]] for each in found["./"]["mentions"]]
    assert found[run["instrument"]["@id"]]["softwareVersion"] == "1.2"
    assert [each["@id"] for each in run["object"]] == ["#study/sorts.csv", "#study/study.yaml"]
    assert {"@id": "report/wheel.html"} in run["result"]
    assert not re.search(r"\d\d:\d\d|startTime|endTime|agent", json.dumps(crate()))
    profile = found["./"]["conformsTo"]["@id"]
    assert profile == "https://w3id.org/ro/wfrun/process/0.5"
    assert found[profile]["@type"] == "CreativeWork"


def test_ids_of_files_are_uris():
    found = entities(crate())
    assert found["tiers/a%20table.csv"]["@type"] == "File"
    assert {"@id": "tiers/a%20table.csv"} in found["./"]["hasPart"]


def test_every_result_is_described(small_results):
    described = json.loads((small_results / "ro-crate-metadata.json").read_text(encoding="utf-8"))
    manifest = json.loads((small_results / "manifest.json").read_text(encoding="utf-8"))
    files = {name for name, each in entities(described).items() if each["@type"] == "File"}
    beside = {"manifest.json", "SHA256SUMS", "environment.json"}
    assert files == {*manifest["outputs"], *beside} - {"ro-crate-metadata.json"}
    assert all((small_results / name).is_file() for name in files)
    assert "ro-crate-metadata.json" in manifest["outputs"]
