"""A zip's bytes depend on names and contents alone, and it is whole or not there."""

import os
import zipfile
import zlib

import pytest
from felloe.archiving import zipping
from felloe.archiving.zipping import write_zip

PROGRAM = frozenset({"a/run"})


@pytest.fixture
def members(tmp_path):
    path = tmp_path / "table.csv"
    path.write_bytes(b"term\nash\n" * 500)
    return {"a/b.csv": path, "a/run": b"#!", "a/B.csv": b"", "a/\u00e4.txt": b"x"}


def written(folder, members):
    path = folder / "archives" / "a.zip"
    write_zip(path, members, PROGRAM)
    return path.read_bytes()


def test_order_age_and_rights_of_files_change_no_byte(tmp_path, members):
    once = written(tmp_path, members)
    os.utime(members["a/b.csv"], (1, 1))
    members["a/b.csv"].chmod(0o600)
    again = written(tmp_path / "elsewhere", dict(reversed(members.items())))
    assert again == once
    assert written(tmp_path, {**members, "a/run": b"#?"}) != once


def test_members_are_sorted_dated_alike_and_stored(tmp_path, members):
    written(tmp_path, members)
    with zipfile.ZipFile(tmp_path / "archives" / "a.zip") as packed:
        entries = packed.infolist()
        assert packed.testzip() is None
    assert [entry.filename for entry in entries] == sorted(members)
    for entry in entries:
        assert entry.date_time == (1980, 1, 1, 0, 0, 0)
        assert (entry.compress_type, entry.extra, entry.comment) == (zipfile.ZIP_STORED, b"", b"")
        assert entry.external_attr >> 16 == (0o100755 if entry.filename == "a/run" else 0o100644)


def test_no_packer_has_a_say_in_the_bytes(tmp_path, members, monkeypatch):
    once = written(tmp_path, members)
    monkeypatch.setattr(zlib, "compressobj", None)
    assert written(tmp_path, members) == once


def test_an_archive_that_cannot_be_finished_leaves_the_earlier_one(tmp_path, members):
    once = written(tmp_path, members)
    with pytest.raises(FileNotFoundError):
        written(tmp_path, {**members, "a/z": tmp_path / "lost"})
    assert (tmp_path / "archives" / "a.zip").read_bytes() == once
    assert [path.name for path in (tmp_path / "archives").iterdir()] == ["a.zip"]


def test_no_half_written_archive_is_left(tmp_path, members, monkeypatch):
    def interrupted(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(zipping.zipfile.ZipFile, "writestr", interrupted)
    with pytest.raises(KeyboardInterrupt):
        written(tmp_path, members)
    assert list((tmp_path / "archives").iterdir()) == []
