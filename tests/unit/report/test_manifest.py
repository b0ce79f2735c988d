"""The manifest: what determines the results, and nothing that tells of a machine."""

import subprocess
from pathlib import Path

import pytest
from felloe.errors import StudyError
from felloe.ground.files.records import read_json
from felloe.ledger import Entry
from felloe.report.origin.manifest import (
    graph_of,
    made_with,
    of_other_studies,
    own_inputs,
    write_manifest,
    write_sums,
)
from felloe.report.origin.surroundings import write_surroundings

CONFIG = {"studies": {"a": "somewhere"}, "editions": [], "seed": 7}


def entry(step, inputs=(), outputs=(), **versions):
    versions = {"python": "3", **versions}
    return Entry(step, "c", {}, versions, dict(inputs), dict.fromkeys(outputs, "0"))


def written(tmp_path, entries, inputs=()):
    path = tmp_path / "manifest.json"
    write_manifest(
        str(path),
        about={"study": "a"},
        identity={"version": "1", "code": "c", "lock": "l"},
        config=CONFIG,
        inputs=dict(inputs),
        outputs={"x.csv": "2"},
        entries=entries,
    )
    return read_json(path)


def test_a_manifest_holds_what_the_contract_names(tmp_path):
    found = written(tmp_path, {}, {"terms.csv": "1"})
    assert (found["seed"], found["inputs"], found["outputs"], found["config"]) == (
        7,
        {"terms.csv": "1"},
        {"x.csv": "2"},
        CONFIG,
    )
    assert found["project"] == {"name": "felloe", "version": "1", "code": "c", "lock": "l"}
    assert {"python", "numpy", "scipy", "snakemake"} <= set(found["packages"])


def test_results_stand_with_the_versions_that_they_were_made_with():
    entries = {
        "x": entry("x", outputs=["results/a/x"], numpy="1"),
        "y": entry("y", outputs=["results/a/y", "results/a/passing"], numpy="2"),
        "z": entry("z", outputs=["results/a/z"], numpy="1"),
    }
    assert made_with(entries, {"x": "0", "y": "0", "z": "0"}, "results/a") == [
        {"packages": {"numpy": "1", "python": "3"}, "steps": ["x", "z"], "outputs": ["x", "z"]},
        {"packages": {"numpy": "2", "python": "3"}, "steps": ["y"], "outputs": ["y"]},
    ]


def test_the_graph_joins_a_step_to_those_whose_results_it_read():
    entries = {
        "x": entry("x", outputs=["results/a/x"]),
        "y/1": entry("y", {"results/a/x": "0"}, ["results/a/1"]),
        "y/2": entry("y", {"study/terms.csv": "0"}, ["results/a/2"]),
        "z": entry("z", {"results/a/1": "0", "results/a/2": "0", "results/b/x": "0"}),
    }
    assert graph_of(entries) == {"x": [], "y": ["x"], "z": ["y"]}


def test_results_of_another_study_that_were_read_are_named():
    entries = {"z": entry("z", {"results/b/circle/order.csv": "5", "results/a/x": "1"})}
    assert of_other_studies(entries, "results/a") == {"b": {"circle/order.csv": "5"}}


def test_a_file_that_changed_since_it_was_read_is_not_certified():
    entries = {"validate_sorts": entry("validate_sorts", {"study/terms.csv": "1"})}
    assert own_inputs({"terms.csv": "1"}, entries) == {"terms.csv": "1"}
    for now in ({"terms.csv": "2"}, {}, {"terms.csv": "1", "names.csv": "3"}):
        with pytest.raises(StudyError, match="changed while the study ran"):
            own_inputs(now, entries)


def test_the_sums_are_what_the_systems_tool_checks(tmp_path):
    for name in ("manifest.json", "x.csv"):
        (tmp_path / name).write_text(name)
    from felloe.ground.files.hashes import hashes_of

    outputs = hashes_of([tmp_path / "x.csv"], tmp_path)
    write_sums(str(tmp_path / "SHA256SUMS"), outputs, str(tmp_path / "manifest.json"))
    check = ["sha256sum", "--strict", "-c", "SHA256SUMS"]
    assert subprocess.run(check, cwd=tmp_path, capture_output=True).returncode == 0
    (tmp_path / "x.csv").write_text("another")
    assert subprocess.run(check, cwd=tmp_path, capture_output=True).returncode == 1


def test_the_surroundings_tell_of_no_place_and_nobody(tmp_path):
    (tmp_path / "mine.yaml").write_text("seed: 1\n")
    write_surroundings(str(tmp_path / "environment.json"), [str(tmp_path / "mine.yaml")])
    text = (tmp_path / "environment.json").read_text(encoding="utf-8")
    assert str(tmp_path) not in text
    assert str(Path.home()) not in text
    assert list(read_json(tmp_path / "environment.json")["settings_files"]) == ["mine.yaml"]
