"""The manifest: hashes against the system's own tool, and nothing that tells of a machine."""

import hashlib
import subprocess

import pytest
from felloe.ground.files.records import read_json
from felloe.report.manifest import hashes_of, settings_of_study, sha256_of, write_manifest


def test_hash_of_abc_is_the_published_one(tmp_path):
    # FIPS 180-2, appendix B.1 (digits from memory, and as the sha256sum tool gives them).
    (tmp_path / "abc").write_bytes(b"abc")
    expected = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert sha256_of(tmp_path / "abc") == expected


def test_hash_of_a_file_of_several_blocks_is_that_of_the_system(tmp_path):
    (tmp_path / "big").write_bytes(bytes(range(256)) * 9000)
    told = subprocess.run(
        ["sha256sum", tmp_path / "big"], capture_output=True, text=True, check=True
    )
    assert sha256_of(tmp_path / "big") == told.stdout.split()[0]


def test_paths_are_relative_and_sorted(tmp_path):
    for name in ("b/z.csv", "a.csv"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text(name)
    paths = [tmp_path / "b" / "z.csv", tmp_path / "a.csv"]
    expected = {name: hashlib.sha256(name.encode()).hexdigest() for name in ("a.csv", "b/z.csv")}
    assert list(hashes_of(paths, tmp_path).items()) == list(expected.items())


def test_a_file_outside_the_folder_is_refused(tmp_path):
    with pytest.raises(ValueError):
        hashes_of([tmp_path / "x.csv"], tmp_path / "study")


def test_settings_keep_the_study_and_its_editions_but_no_folder():
    settings = {"seed": 1, "studies": {"a": "somewhere/x"}, "editions": [["a", "b"], ["c", "d"]]}
    assert settings_of_study(settings, "b") == {"study": "b", "editions": [["a", "b"]], "seed": 1}


def test_the_number_of_jobs_is_no_part_of_the_manifest():
    settings = {"studies": {}, "editions": [], "bootstrap": {"replicates": 9, "parts": 4}}
    assert settings_of_study(settings, "b")["bootstrap"] == {"replicates": 9}


def test_a_manifest_holds_what_the_contract_names(tmp_path):
    settings = {"seed": 7, "studies": {"a": "somewhere"}, "editions": []}
    pooling = {"asked": "always", "override": "always", "verdict": "pool"}
    write_manifest(
        tmp_path / "manifest.json",
        study="a",
        settings=settings,
        inputs={"terms.csv": "1"},
        outputs={"x.csv": "2"},
        pooling=pooling,
    )
    found = read_json(tmp_path / "manifest.json")
    assert (found["seed"], found["inputs"], found["outputs"]) == (
        7,
        {"terms.csv": "1"},
        {"x.csv": "2"},
    )
    assert found["pooling"]["override"] == "always"
    assert {"python", "numpy", "scipy", "snakemake"} <= set(found["packages"])
    assert "somewhere" not in (tmp_path / "manifest.json").read_text()


def test_a_folder_stands_for_the_files_in_it(tmp_path):
    (tmp_path / "trees" / "deep").mkdir(parents=True)
    (tmp_path / "trees" / "deep" / "a.nwk").write_text("(a,b);")
    (tmp_path / "trees" / "b.nwk").write_text("(b,c);")
    assert list(hashes_of([tmp_path / "trees"], tmp_path)) == ["trees/b.nwk", "trees/deep/a.nwk"]
