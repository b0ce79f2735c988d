"""Results held against their manifest by hashes, and what is said of what stands beside."""

import json
from pathlib import Path

import pytest
from audit_example import PUBLISHED, second_state, with_sums, write_run
from felloe import ledger
from felloe.audit import files
from felloe.audit.comparison import compare_folders
from felloe.audit.quick import Finding, Present, held_against_manifest, of_records
from felloe.audit.quick_words import screen_of_quick
from felloe.audit.runs import read_run
from felloe.audit.screen import screen_of_verify
from felloe.launching import audit

NOTHING_ELSE = Present(None, None, {}, {"matplotlib": "3.11"})


def added(folder):
    (folder / "figures" / "mine.png").write_bytes(b"mine")
    return "figures/mine.png"


def summed_otherwise(folder):
    (folder / "SHA256SUMS").write_text("", encoding="utf-8")
    return "SHA256SUMS"


def described_otherwise(folder):
    """Change what no result comes from; all results stay those of the manifest."""
    manifest = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))
    (folder / "manifest.json").write_text(json.dumps({**manifest, "x": 1}), encoding="utf-8")
    return "SHA256SUMS"


def verify(tmp_path, capsys, harm=None):
    """Return the status of a comparison with the same made again, and what is said."""
    for run in ("a", "b"):
        with_sums(write_run(tmp_path / run))
    if harm:
        harm(tmp_path / "a" / "results" / "jars")
    asked = {"was": tmp_path / "a" / "results", "now": tmp_path / "b" / "results", "study": ""}
    return audit.verify(asked), capsys.readouterr().out


def test_results_that_are_whole_have_no_finding(tmp_path):
    folder = with_sums(write_run(tmp_path))
    assert held_against_manifest(folder, NOTHING_ELSE) == []


def test_an_entry_that_was_changed_is_found_by_the_list_of_all(tmp_path):
    folder = with_sums(write_run(tmp_path))
    entry = folder / "ledger" / "draw.json"
    entry.write_text(entry.read_text().replace("3.11", "3.12"))
    assert list(of_records(read_run(folder))) == [Finding("ledger", "ledger/")]


def test_the_same_made_again_is_reproduced(tmp_path, capsys):
    status, said = verify(tmp_path, capsys)
    assert status == 0
    assert said.startswith("Reproduced: 1 folder of results")


@pytest.mark.parametrize("harm", [added, summed_otherwise, described_otherwise])
def test_reproduced_is_said_with_status_0_alone(harm, tmp_path, capsys):
    status, said = verify(tmp_path, capsys, harm)
    assert status == 1
    assert "Reproduced" not in said
    assert said.startswith("Not the same: in 1 of 1 folder of results")
    assert "every file that its manifest lists was reproduced" in said


@pytest.mark.parametrize("harm", [added, summed_otherwise, described_otherwise])
def test_what_stands_beside_the_manifest_is_named(harm, tmp_path):
    was, now = (with_sums(write_run(tmp_path / run)) for run in ("a", "b"))
    name = harm(was)
    found = compare_folders(was, now)
    assert found.beside == (name,)
    assert found.reproduced
    assert f"not as its manifest says: {name}" in screen_of_verify([found])


def test_what_stands_beside_is_told_of_results_that_were_not_reproduced_too(tmp_path):
    was = with_sums(write_run(tmp_path / "a"))
    now = with_sums(write_run(tmp_path / "b", second_state("published")))
    added(was)
    told = screen_of_verify([compare_folders(was, now)])
    assert told.startswith("Not reproduced: 1 of 1 folder of results.")
    assert "figures/mine.png" in told
    assert PUBLISHED in told


def test_results_are_hashed_once(tmp_path, capsys, monkeypatch):
    hashed = []
    monkeypatch.setattr(files, "sha256_of", lambda path: hashed.append(str(path)) or "0" * 64)
    verify(tmp_path, capsys)
    assert len(hashed) == len(set(hashed)) > 10


@pytest.mark.parametrize("name", ["SHA256SUMS", "ledger/draw.json", "figures/mine.png"])
def test_what_may_not_be_read_stops_no_comparison(name, tmp_path, monkeypatch):
    was, now = (with_sums(write_run(tmp_path / run)) for run in ("a", "b"))
    added(was)

    def guarding(read):
        def guarded(path, *rest, **more):
            if Path(path) == was / name:
                raise PermissionError(13, "Permission denied")
            return read(path, *rest, **more)

        return guarded

    monkeypatch.setattr(files, "sha256_of", guarding(files.sha256_of))
    monkeypatch.setattr(ledger, "sha256_of", guarding(ledger.sha256_of))
    monkeypatch.setattr(Path, "read_text", guarding(Path.read_text))
    found = compare_folders(was, now)
    assert found.beside == (("figures/mine.png", name)[: 1 + (name == "SHA256SUMS")])
    assert not found.whole


@pytest.mark.parametrize("code", ["more", "file", "setting"])
def test_no_name_or_value_steers_the_terminal(code):
    value = "\x1b]0;" + "a" * 60  # as long as a hash
    finding = Finding(code, "figures/\x1b[31m\r.png", value, value[::-1])
    for found in (finding, Finding(code, finding.name)):
        told = screen_of_quick({"jars": [found]})
        assert "\\x1b[31m\\x0d.png" in told
        assert all(line.isprintable() for line in told.splitlines())


def test_a_long_name_is_told_whole_as_far_as_a_line_goes():
    name = "figures/" + "a" * 70 + ".png"
    assert name in screen_of_quick({"jars": [Finding("more", name)]})


def test_a_page_that_can_not_be_written_is_one_line(tmp_path, capsys):
    was, now = (str(with_sums(write_run(tmp_path / run))) for run in ("a", "b"))
    (tmp_path / "file").touch()
    places = {"was": was, "now": now, "page": str(tmp_path / "file" / "page.html")}
    asked = {"what": "runs", "configured": False, "configfiles": [], "sides": ["A", "B"], **places}
    assert audit.main(asked) == 1
    (told,) = capsys.readouterr().err.splitlines()
    assert str(tmp_path / "file") in told
