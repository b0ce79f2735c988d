"""Both crates are read by the reference reader of RO-Crates (the package `rocrate`)."""

import contextlib
import shutil
import zipfile

import pytest
from felloe.archiving import command
from rocrate.rocrate import ROCrate


@pytest.fixture(scope="module")
def folder(small_results, tmp_path_factory):
    """A copy of the folder that the small study ran in."""
    copy = tmp_path_factory.mktemp("crates") / "here"
    shutil.copytree(small_results.parents[1], copy, ignore=shutil.ignore_patterns(".snakemake"))
    return copy


def files_of(crate, home):
    """Return the files of a crate; each has to be there."""
    found = [entity for entity in crate.data_entities if "File" in entity.type]
    assert [entity.id for entity in found if not (home / entity.id).is_file()] == []
    return found


def run_of(crate):
    """Return the one run that a crate tells of."""
    (run,) = [entity for entity in crate.get_entities() if entity.type == "CreateAction"]
    assert run in crate.root_dataset["mentions"]
    return run


def test_the_crate_of_results(folder):
    home = folder / "results" / "guild"
    crate = ROCrate(home)
    assert (crate.version, crate.root_dataset["datePublished"]) == ("1.1", "2031")
    assert len(files_of(crate, home)) > 90
    run = run_of(crate)
    assert run["instrument"].type == "SoftwareApplication"
    assert {each.id for each in run["object"]} >= {"#study/sorts.csv", "#study/study.yaml"}
    assert set(run["result"]) == set(files_of(crate, home))


@pytest.mark.parametrize("people", [True, False])
def test_the_crate_of_an_archive(people, folder, tmp_path):
    asked = {
        "shown": [],
        "place": "",
        "configfiles": ["small.yaml"],
        "study": "guild",
        "people": people,
    }
    with contextlib.chdir(folder):
        assert command.main(asked) == 0
    name = f"guild.{'with' if people else 'without'}-people"
    with zipfile.ZipFile(folder / "archives" / f"{name}.zip") as packed:
        packed.extractall(tmp_path)
    crate = ROCrate(tmp_path / name)
    assert crate.version == "1.1"
    assert crate.mainEntity.id == "Snakefile"
    assert "ComputationalWorkflow" in crate.mainEntity.type
    run = run_of(crate)
    assert run["instrument"] is crate.mainEntity
    objects = {each.id for each in run["object"]}
    assert {"guild/terms.csv", "settings.yaml"} <= objects
    assert ("guild/sorts.csv" in objects) is people
    assert {each.id for each in run["result"]} < {
        each.id for each in files_of(crate, tmp_path / name)
    }
