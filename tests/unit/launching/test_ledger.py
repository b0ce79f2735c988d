"""The ledger: what a job read and wrote, and what no longer is as it was written."""

import json

import pytest
from felloe import ledger
from felloe.errors import StudyError
from felloe.ground.files.hashes import sha256_of

LOG = "results/a/logs/draw/1-of-2.log"


def entry(**changes):
    fields = {
        "step": "draw", "code": "c", "settings": {"seed": 1}, "versions": {"python": "3"},
        "inputs": {}, "outputs": {},
    }  # fmt: skip
    return ledger.Entry(**{**fields, **changes})


def test_an_entry_has_the_name_of_its_log():
    assert ledger.entry_path(LOG) == "results/a/ledger/draw/1-of-2.json"
    assert ledger.entry_path("results/editions/a--b/logs/x.log") == (
        "results/editions/a--b/ledger/x.json"
    )


@pytest.mark.parametrize(("log", "step"), [(LOG, "draw"), ("results/a/logs/count.log", "count")])
def test_a_step_is_named_as_its_log(log, step):
    assert ledger.step_of(log) == step


def test_a_studys_own_file_is_recorded_wherever_it_lies():
    for place in ("mine/terms.csv", "/far/away/terms.csv", "../x/terms.csv"):
        assert ledger.recorded_name(place) == "study/terms.csv"
    assert ledger.recorded_name("results/a/x.csv") == "results/a/x.csv"


def test_what_tells_of_a_machine_is_not_recorded():
    params = {"code": "c", "source": "/far", "settings_files": ["/far/s.yaml"], "seed": 3}
    assert ledger.recorded_settings(params) == {"seed": 3}
    assert ledger.recorded_paths({"a": "x/environment.json", "b": ["y", "z"]}, ()) == ["y", "z"]


def test_an_entry_comes_back_as_it_was_written(tmp_path):
    path = tmp_path / "ledger" / "draw.json"
    ledger.write_entry(path, entry(settings={"a": [1, None, 2.5], "b": {"ü": "x"}}))
    assert ledger.read_entry(path) == entry(settings={"a": [1, None, 2.5], "b": {"ü": "x"}})


@pytest.mark.parametrize("text", ["", "{", "[]", '{"step": "x"}', '{"other": 1}'])
def test_an_entry_that_cannot_be_read_is_none(tmp_path, text):
    (tmp_path / "x.json").write_text(text)
    assert ledger.read_entry(tmp_path / "x.json") is None


@pytest.mark.parametrize(
    "changes", [{"outputs": []}, {"inputs": None}, {"outputs": {"x": 1}}, {"step": 3}]
)
def test_an_entry_of_another_shape_is_none(tmp_path, changes):
    fields = {"step": "x", "code": "c", "settings": {}, "versions": {}, "inputs": {}, "outputs": {}}
    (tmp_path / "x.json").write_text(json.dumps({**fields, **changes}))
    assert ledger.read_entry(tmp_path / "x.json") is None
    (tmp_path / "y.json").write_text(json.dumps(fields))
    assert ledger.read_entry(tmp_path / "y.json") is not None


def test_what_lies_in_the_place_of_an_entry_can_be_taken_away(tmp_path):
    (tmp_path / "x.json" / "deep").mkdir(parents=True)
    assert ledger.read_entry(tmp_path / "x.json") is None
    ledger.remove_entry(tmp_path / "x.json")
    ledger.remove_entry(tmp_path / "x.json")
    assert not (tmp_path / "x.json").exists()


@pytest.fixture
def written(tmp_path, monkeypatch):
    """A result, and the entry of the step that wrote it."""
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "results" / "a" / "x.csv"
    path.parent.mkdir(parents=True)
    path.write_text("as written\n")
    made = entry(outputs={"results/a/x.csv": sha256_of(path)})
    ledger.write_entry("results/a/ledger/draw.json", made)
    return path


def test_a_result_as_it_was_written_may_be_read(written):
    ledger.check_as_written(ledger.hashed(["results/a/x.csv"]))


def test_a_result_that_was_changed_is_refused_by_name(written):
    written.write_text("by hand\n")
    with pytest.raises(StudyError, match=r"x\.csv is not what its step wrote"):
        ledger.check_as_written(ledger.hashed(["results/a/x.csv"]))


def test_a_result_that_no_step_wrote_is_refused(written):
    (written.parent / "y.csv").write_text("who knows\n")
    with pytest.raises(StudyError, match=r"y\.csv is recorded by no step"):
        ledger.check_as_written(ledger.hashed(["results/a/y.csv"]))


def test_what_changed_while_it_was_read_is_named():
    ledger.check_unchanged({"study/terms.csv": "1"}, {"study/terms.csv": "1"})
    for after in ({"study/terms.csv": "2"}, {}):
        with pytest.raises(StudyError, match=r"terms\.csv changed while"):
            ledger.check_unchanged({"study/terms.csv": "1"}, after)


def test_the_hash_of_the_entries_leaves_out_the_one_that_asks(written):
    own = "results/a/ledger/write_manifest.json"
    before = ledger.entries_hash(own)
    ledger.write_entry(own, entry(step="write_manifest"))
    assert ledger.entries_hash(own) == before
    ledger.write_entry("results/a/ledger/more.json", entry(step="more"))
    assert ledger.entries_hash(own) != before


def test_an_entry_holds_no_place_and_no_time(written):
    text = (written.parent / "ledger" / "draw.json").read_text()
    assert set(json.loads(text)) == {"step", "code", "settings", "versions", "inputs", "outputs"}
    assert str(written.parents[2]) not in text
