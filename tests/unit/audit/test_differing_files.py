"""Files of two folders: same, different, in one only, not to be read."""

from pathlib import Path

from audit_example import FILES, STUDY, write_run
from felloe.audit.comparison import compare_folders, compare_results
from felloe.audit.files import hash_folder, is_exempt


def states(found):
    return {file.path: file.state for file in found.different}


def test_folders_of_the_same_files_have_no_difference(tmp_path):
    was, now = write_run(tmp_path / "a"), write_run(tmp_path / "b")
    found = compare_folders(was, now)
    assert found.same
    assert found.reproduced
    told = (found.tables, found.contents, found.traces, found.changes, found.notes)
    assert told == ((),) * 5
    assert found.effects.moves == ()
    assert found.effects.facts == ()


def test_each_file_is_same_different_missing_or_extra(tmp_path):
    was = write_run(tmp_path / "a")
    now = write_run(tmp_path / "b", {"figures/wheel.svg": "<svg>2</svg>"})
    (now / "report/report.html").unlink()
    (now / "note.txt").write_text("mine")
    found = compare_folders(was, now)
    told = states(found)
    assert told.pop("manifest.json") == "differs"  # it lists the hashes
    assert told == {
        "figures/wheel.svg": "differs",
        "report/report.html": "missing",
        "note.txt": "extra",
    }
    assert found.number("same") == len(FILES) - 2
    assert not found.reproduced


def test_logs_and_what_it_was_made_on_are_not_compared(tmp_path):
    was, now = write_run(tmp_path / "a"), write_run(tmp_path / "b")
    for name in ("logs/x.log", "benchmarks/x.tsv", "ledger/more/x.json", "environment.json"):
        (now / name).parent.mkdir(exist_ok=True)
        (now / name).write_text('{"step": "x"}')
        assert is_exempt(name)
    assert compare_folders(was, now).same


def test_a_folder_of_that_name_further_down_is_compared(tmp_path):
    (tmp_path / "circle/logs").mkdir(parents=True)
    (tmp_path / "circle/logs/a").write_text("1")
    assert list(hash_folder(tmp_path).hashes) == ["circle/logs/a"]


def test_a_file_beside_the_results_does_not_keep_them_from_being_reproduced(tmp_path):
    was, now = write_run(tmp_path / "a"), write_run(tmp_path / "b")
    (was / "mine.txt").write_text("1")
    found = compare_folders(was, now)
    assert states(found) == {"mine.txt": "missing"}
    assert found.reproduced
    assert not found.same


def test_without_a_manifest_every_file_counts(tmp_path):
    was, now = write_run(tmp_path / "a"), write_run(tmp_path / "b")
    for folder in (was, now):
        (folder / "manifest.json").unlink()
    assert compare_folders(was, now).reproduced
    (was / "mine.txt").write_text("1")
    assert not compare_folders(was, now).reproduced


def test_a_file_that_cannot_be_read_is_said_to_be_so(tmp_path):
    was, now = write_run(tmp_path / "a"), write_run(tmp_path / "b")
    loop = now / "figures/wheel.svg"
    loop.unlink()
    loop.symlink_to(loop)  # opening it fails for every user
    found = compare_folders(was, now)
    (file,) = (file for file in found.different)
    assert (file.path, file.state) == ("figures/wheel.svg", "unreadable")
    assert file.reason
    assert not found.reproduced


def test_a_folder_that_is_not_there_is_said_to_be_so(tmp_path):
    was = write_run(tmp_path / "a")
    found = compare_folders(was, tmp_path / "none")
    assert [(note.code, note.side) for note in found.notes] == [("no_folder", "now")]
    assert {file.state for file in found.files} == {"missing"}
    assert not found.reproduced
    nothing = compare_folders(tmp_path / "none", tmp_path / "no more")
    assert not nothing.same
    assert not nothing.reproduced


def test_all_studies_and_pairs_of_two_runs_are_compared(tmp_path):
    for run in ("a", "b"):
        write_run(tmp_path / run)
        write_run(tmp_path / run, study="pots")
        pair = tmp_path / run / "results/editions/jars--pots"
        pair.mkdir(parents=True)
        (pair / "terms.csv").write_text(f"term,change\ndill,{run}\n")
    write_run(tmp_path / "b", study="tubs")
    found = compare_results(tmp_path / "a/results", tmp_path / "b/results")
    assert [one.name for one in found] == [STUDY, "pots", "tubs", "jars--pots"]
    assert [one.same for one in found] == [True, True, False, False]
    assert found[3].tables[0].n_cells == 1
    assert found[3].effects is None


def test_nothing_is_written(tmp_path):
    was, now = write_run(tmp_path / "a"), write_run(tmp_path / "b", linkage="complete")
    before = sorted((path, path.stat().st_mtime_ns) for path in Path(tmp_path).rglob("*"))
    compare_folders(was, now)
    assert sorted((path, path.stat().st_mtime_ns) for path in tmp_path.rglob("*")) == before
