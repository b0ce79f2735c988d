"""What is kept of source files is what would be found out anew, or it is found out anew."""

import json

import pytest
from felloe.kept_sources import KeptSources, Source

ONE = Source(("felloe.part",), ("*.j2",), "a", "b")


@pytest.fixture
def maker(tmp_path):
    path = tmp_path / "maker.py"
    path.write_text("one state of it")
    return path


@pytest.fixture
def path(tmp_path):
    return tmp_path / "sources.json"


def kept(path, maker):
    """Return whether a key is known without being found out."""
    asked = []
    found = KeptSources(path, maker).get("key", lambda: asked.append(1) or ONE)
    assert found == ONE
    return not asked


def keep(path, maker):
    sources = KeptSources(path, maker)
    sources.get("key", lambda: ONE)
    sources.write()


def test_what_was_written_is_known_to_the_next_process(path, maker):
    assert not kept(path, maker)
    keep(path, maker)
    assert kept(path, maker)


def test_what_another_state_of_the_maker_kept_is_not_believed(path, maker):
    keep(path, maker)
    maker.write_text("another state of it")
    assert not kept(path, maker)


@pytest.mark.parametrize("broken", ["", "{", "[]", "null", '{"maker": 1}', '{"sources": {}}'])
def test_a_broken_file_is_as_none(path, maker, broken):
    path.write_text(broken)
    assert not kept(path, maker)
    keep(path, maker)
    assert kept(path, maker)


@pytest.mark.parametrize("row", [None, [], [1, 2, 3, 4], ["a", "b"], {"a": 1}])
def test_a_broken_row_is_found_out_anew(path, maker, row):
    keep(path, maker)
    said = json.loads(path.read_text())
    path.write_text(json.dumps({**said, "sources": {"key": row}}))
    assert not kept(path, maker)


def test_without_its_folder_nothing_is_kept_and_nothing_fails(tmp_path, maker):
    path = tmp_path / "none" / "sources.json"
    keep(path, maker)
    assert not path.parent.exists()


def test_a_file_that_cannot_be_written_fails_nobody(path, maker):
    path.mkdir()
    keep(path, maker)
    assert not kept(path, maker)


def test_what_is_known_already_is_not_written_again(path, maker):
    keep(path, maker)
    path.with_suffix(".mark").write_text("")
    before = path.stat().st_mtime_ns, path.stat().st_ino
    keep(path, maker)
    assert (path.stat().st_mtime_ns, path.stat().st_ino) == before
