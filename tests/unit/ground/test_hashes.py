"""Hashes of files, against the system's own tool and a published value."""

import hashlib
import subprocess

import pytest
from felloe.ground.files.hashes import hashes_of, sha256_of


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


def test_a_folder_stands_for_the_files_in_it(tmp_path):
    (tmp_path / "trees" / "deep").mkdir(parents=True)
    (tmp_path / "trees" / "deep" / "a.nwk").write_text("(a,b);")
    (tmp_path / "trees" / "b.nwk").write_text("(b,c);")
    assert list(hashes_of([tmp_path / "trees"], tmp_path)) == ["trees/b.nwk", "trees/deep/a.nwk"]
