"""Where a difference comes from: what both runs recorded, walked up from the file."""

import json

import pytest
from audit_example import FILES, PUBLISHED, second_state, sha, with_sums, write_run
from felloe.audit import words
from felloe.audit.comparison import compare_folders
from felloe.audit.page import page_of_runs
from felloe.audit.screen import screen_of_verify

DISTANCES = "clustering/distances.csv"
SIDES = ("A", "B")
EVERY = ("both", "distances", "published", "figure", "report")


def causes(found, path):
    return [(one.kind, one.name, one.was, one.now, one.side) for one in found.trace(path).causes]


def kinds(found, path):
    return {(one.kind, one.name) for one in found.trace(path).causes}


def paths(found):
    return {file.path for file in found.different} - {"manifest.json"}


def test_an_edited_input_is_found_from_every_file(tmp_path):
    was = write_run(tmp_path / "a")
    now = write_run(tmp_path / "b", second_state(*EVERY), sorts="other")
    found = compare_folders(was, now)
    assert len(paths(found)) == 5
    for path in paths(found):
        assert causes(found, path) == [("input", "sorts.csv", "", "", "")]
    assert [(one.kind, one.name) for one in found.changes] == [("input", "sorts.csv")]


def test_a_list_of_all_entries_is_no_cause_of_its_own(tmp_path):
    was = with_sums(write_run(tmp_path / "a"))
    now = with_sums(write_run(tmp_path / "b", second_state(*EVERY), sorts="other"))
    found = compare_folders(was, now)
    assert "ledger/" in found.trace("manifest.json").inputs
    for path in ("manifest.json", "SHA256SUMS"):
        assert causes(found, path) == [("input", "sorts.csv", "", "", "")]


def test_a_study_whose_name_looks_like_that_of_a_pair_has_a_chart(tmp_path):
    runs = [write_run(tmp_path / run, study="salt--sour") for run in ("a", "b")]
    assert compare_folders(*runs).effects is not None
    (runs[0] / "manifest.json").unlink()  # that of the other run still tells
    assert compare_folders(*runs).effects is not None
    (runs[1] / "manifest.json").unlink()
    assert compare_folders(*runs).effects is None


def test_a_pair_of_editions_has_no_chart(tmp_path):
    runs = [write_run(tmp_path / run, study="salt--sour") for run in ("a", "b")]
    for run in runs:
        (run / "manifest.json").write_text('{"older": "salt", "newer": "sour"}')
    assert compare_folders(*runs).effects is None


def test_another_linkage_is_found_from_the_tree_on(tmp_path):
    was = write_run(tmp_path / "a")
    now = write_run(tmp_path / "b", second_state(*EVERY[1:]), linkage="complete")
    found = compare_folders(was, now)
    assert "matrices/pooled.both.csv" not in paths(found)
    for path in paths(found):
        assert causes(found, path) == [
            ("setting", "clustering.linkage", '"average"', '"complete"', "")
        ]
    assert found.trace("clustering/distances.csv").inputs == ()
    assert found.trace(PUBLISHED).inputs == ("clustering/distances.csv",)


def test_another_package_is_found_in_the_step_that_uses_it(tmp_path):
    was = write_run(tmp_path / "a", versions={"numpy": "2.0"})
    versions = {"matplotlib": "3.12", "numpy": "2.0"}
    now = write_run(tmp_path / "b", second_state("figure", "report"), versions=versions)
    found = compare_folders(was, now)
    assert kinds(found, "figures/wheel.svg") == {("version", "matplotlib")}
    assert kinds(found, "report/report.html") == {("version", "matplotlib")}
    told = words.made(found.trace("figures/wheel.svg"), SIDES)
    assert told == "made by draw: matplotlib 3.11 -> 3.12"
    told = words.made(found.trace("report/report.html"), SIDES)
    assert told == "made by report, which read other figures/wheel.svg"


def test_other_code_is_found_in_its_step(tmp_path):
    was = write_run(tmp_path / "a")
    now = write_run(tmp_path / "b", second_state(*EVERY[2:]), code={"publish": "beef"})
    found = compare_folders(was, now)
    assert causes(found, "report/report.html") == [("code", "publish", "c0de", "beef", "")]
    assert [one.name for one in found.changes] == [""]  # the project's, which the step's explains
    assert words.idle(found) == []


def test_two_causes_are_both_found_where_both_reach(tmp_path):
    was = write_run(tmp_path / "a")
    other = {"sorts": "other", "linkage": "complete"}
    now = write_run(tmp_path / "b", second_state(*EVERY), **other)
    found = compare_folders(was, now)
    both = {("input", "sorts.csv"), ("setting", "clustering.linkage")}
    assert kinds(found, "matrices/pooled.both.csv") == {("input", "sorts.csv")}
    assert kinds(found, PUBLISHED) == both


def test_a_step_that_gave_the_same_is_not_walked_through(tmp_path):
    was = write_run(tmp_path / "a")
    other = {"sorts": "other", "versions": {"matplotlib": "4"}}
    now = write_run(tmp_path / "b", second_state("both", "figure", "report"), **other)
    found = compare_folders(was, now)
    assert kinds(found, "figures/wheel.svg") == {("version", "matplotlib")}


def test_a_setting_that_no_file_comes_from_is_told_apart(tmp_path):
    was = write_run(tmp_path / "a")
    now = write_run(tmp_path / "b", second_state(*EVERY[1:]), linkage="complete", seed=2)
    found = compare_folders(was, now)
    assert [one.name for one, _ in words.traced(found)] == ["clustering.linkage"]
    assert [one.name for one in words.idle(found)] == ["seed"]


def test_a_setting_of_a_step_that_may_be_two_is_told_as_both(tmp_path):
    was = write_run(tmp_path / "a")
    now = write_run(tmp_path / "b", second_state(*EVERY[1:]), linkage="complete")
    for folder, linkage in ((was, "average"), (now, "complete")):
        entry = folder / "ledger/cluster.json"
        entry.write_text(entry.read_text().replace('"linkage"', '"method"'))
        manifest = json.loads((folder / "manifest.json").read_text())
        manifest["config"]["comparison"] = {"linkage": linkage}
        (folder / "manifest.json").write_text(json.dumps(manifest))
    found = compare_folders(was, now)
    (cause,) = found.trace(PUBLISHED).causes
    assert cause.name == "method of cluster (clustering.linkage or comparison.linkage)"
    assert words.idle(found) == []


def test_where_a_study_lies_is_no_cause_and_stands_on_no_page(tmp_path):
    was = write_run(tmp_path / "a")
    now = write_run(tmp_path / "b", second_state(*EVERY), sorts="other")
    for folder, place in ((was, "there/jars"), (now, f"{tmp_path}/somebody/jars")):
        entry = folder / "ledger/count.json"
        settings = f'"settings": {{"folder": "{place}"}}'
        entry.write_text(entry.read_text().replace('"settings": {}', settings))
        manifest = json.loads((folder / "manifest.json").read_text())
        manifest["config"]["studies"] = {"jars": place}
        (folder / "manifest.json").write_text(json.dumps(manifest))
    found = compare_folders(was, now)
    assert kinds(found, PUBLISHED) == {("input", "sorts.csv")}
    assert [one.kind for one in found.changes] == ["input"]
    assert "somebody" not in page_of_runs([found])
    assert "somebody" not in screen_of_verify([found])


def test_a_cell_changed_by_hand_is_told_and_only_there(tmp_path):
    was, now = write_run(tmp_path / "a"), write_run(tmp_path / "b")
    table = was / PUBLISHED
    table.write_text(table.read_text().replace("0.9,firm", "0.99,firm"))
    found = compare_folders(was, now)
    assert paths(found) == {PUBLISHED}
    (cell,) = found.tables[0].cells
    assert (cell.row, cell.column, cell.was, cell.now) == (
        ("dill",),
        "home_probability",
        "0.99",
        "0.9",
    )
    assert causes(found, PUBLISHED) == [("changed_later", PUBLISHED, "", "", "was")]
    assert not found.reproduced


def test_a_swapped_figure_is_told(tmp_path):
    was, now = write_run(tmp_path / "a"), write_run(tmp_path / "b")
    (now / "figures/wheel.svg").write_text("<svg>mine</svg>")
    found = compare_folders(was, now)
    assert paths(found) == {"figures/wheel.svg"}
    told = words.made(found.trace("figures/wheel.svg"), SIDES)
    assert told == "figures/wheel.svg in B is no longer what its run made"


def test_a_file_that_was_changed_before_it_was_read_is_told(tmp_path):
    was = write_run(tmp_path / "a")
    now = write_run(tmp_path / "b", second_state("published", "figure", "report"))
    entry = now / "ledger/publish.json"  # it read something else than stands there again now
    entry.write_text(entry.read_text().replace(sha(FILES[DISTANCES]), sha("other")))
    found = compare_folders(was, now)
    expected = [("read_otherwise", DISTANCES, "", "", "now")]
    assert causes(found, PUBLISHED) == expected
    assert causes(found, "report/report.html") == expected


def test_a_manifest_alone_shows_what_was_changed_later(tmp_path):
    was, now = write_run(tmp_path / "a"), write_run(tmp_path / "b")
    for folder in (was, now):
        for entry in (folder / "ledger").iterdir():
            entry.unlink()
    (was / PUBLISHED).write_text("term\ndill\n")
    found = compare_folders(was, now)
    assert kinds(found, PUBLISHED) == {("changed_later", PUBLISHED)}
    assert [(note.code, note.side) for note in found.notes] == [
        ("no_ledger", "was"),
        ("no_ledger", "now"),
    ]


def test_a_file_that_is_gone_is_told(tmp_path):
    was, now = write_run(tmp_path / "a"), write_run(tmp_path / "b")
    (now / PUBLISHED).unlink()
    found = compare_folders(was, now)
    assert causes(found, PUBLISHED) == [("lost", PUBLISHED, "", "", "now")]


def test_results_of_another_study_are_a_cause(tmp_path):
    read = "results/older/circle/order.csv"
    was = write_run(tmp_path / "a", foreign={read: "1"})
    now = write_run(tmp_path / "b", second_state(*EVERY[2:]), foreign={read: "2"})
    found = compare_folders(was, now)
    assert kinds(found, "report/report.html") == {("study", "older")}


def test_other_studies_are_told_from_the_manifests_too(tmp_path):
    was, now = write_run(tmp_path / "a"), write_run(tmp_path / "b")
    for folder, value in ((was, "1"), (now, "2")):
        manifest = json.loads((folder / "manifest.json").read_text())
        manifest["other_studies"] = {"older": {"circle/order.csv": value}, "same": {"x": "1"}}
        (folder / "manifest.json").write_text(json.dumps(manifest))
    (change,) = compare_folders(was, now).changes
    assert (change.kind, change.name) == ("study", "older")


def test_the_projects_code_among_a_steps_settings_is_the_projects_code(tmp_path):
    was = write_run(tmp_path / "a", code={"publish": "beef"})
    now = write_run(tmp_path / "b", second_state("report"), code={"publish": "f00d"})
    for folder, code in ((was, "beef"), (now, "f00d")):
        entry = folder / "ledger/report.json"
        settings = f'"settings": {{"identity": {{"code": "{code}"}}}}'
        entry.write_text(entry.read_text().replace('"settings": {}', settings))
    found = compare_folders(was, now)
    assert kinds(found, "report/report.html") == {("code", "")}


def test_what_differs_without_a_recorded_reason_is_laid_to_the_surroundings(tmp_path):
    was = write_run(tmp_path / "a")
    now = write_run(tmp_path / "b", second_state("figure", "report"))
    found = compare_folders(was, now)
    assert kinds(found, "report/report.html") == {("surroundings", "draw")}
    assert "surroundings" in words.made(found.trace("figures/wheel.svg"), SIDES)


def test_what_a_run_was_made_on_is_told_on_the_screen_alone(tmp_path):
    was = write_run(tmp_path / "a")
    now = write_run(tmp_path / "b", second_state("figure", "report"))
    for folder, system in ((was, "one"), (now, "another")):
        (folder / "environment.json").write_text(f'{{"system": "{system}"}}')
    found = compare_folders(was, now)
    assert 'system: "one" -> "another"' in screen_of_verify([found])
    assert "another" not in page_of_runs([found]).split("</style>")[1].replace("another group", "")


def test_the_lock_is_told_where_packages_are_not_listed(tmp_path):
    was, now = write_run(tmp_path / "a"), write_run(tmp_path / "b")
    for folder, lock in ((was, "1" * 64), (now, "2" * 64)):
        manifest = json.loads((folder / "manifest.json").read_text())
        manifest["project"]["lock"] = lock
        (folder / "manifest.json").write_text(json.dumps(manifest))
    (change,) = compare_folders(was, now).changes
    assert (change.kind, change.name) == ("version", "requirements.lock")


def test_without_records_nothing_is_guessed(tmp_path):
    was = write_run(tmp_path / "a")
    now = write_run(tmp_path / "b", second_state("figure"), linkage="complete")
    for folder in (was, now):
        (folder / "manifest.json").unlink()
        for entry in (folder / "ledger").iterdir():
            entry.unlink()
    found = compare_folders(was, now)
    assert kinds(found, "figures/wheel.svg") == {("unrecorded", "")}
    assert found.changes == ()
    assert words.traced(found) == []
    assert {note.code for note in found.notes} == {"no_manifest", "no_ledger"}


@pytest.mark.parametrize("side", ["was", "now"])
def test_with_one_ledger_the_manifests_still_speak(tmp_path, side):
    was = write_run(tmp_path / "a")
    now = write_run(tmp_path / "b", second_state(*EVERY[1:]), linkage="complete")
    for entry in ({"was": was, "now": now}[side] / "ledger").iterdir():
        entry.unlink()
    found = compare_folders(was, now)
    assert [(note.code, note.side) for note in found.notes] == [("no_ledger", side)]
    assert kinds(found, PUBLISHED) == {("unrecorded", "")}
    assert [one.name for one in words.idle(found)] == ["clustering.linkage"]


def test_a_file_that_only_one_run_made_is_traced_by_the_other_job_of_its_step(tmp_path):
    was, now = write_run(tmp_path / "a"), write_run(tmp_path / "b")
    for folder, asked in ((was, False), (now, True)):
        entry = folder / "ledger/draw.json"
        text = entry.read_text().replace(
            '"settings": {}', f'"settings": {{"pdf": {str(asked).lower()}}}'
        )
        outputs = ', "results/jars/figures/wheel.pdf": "0"}}'
        entry.write_text(text[:-2] + outputs if asked else text)
    (now / "figures/wheel.pdf").write_text("%PDF")
    found = compare_folders(was, now)
    assert ("setting", "pdf of draw") in kinds(found, "figures/wheel.pdf")


def test_a_step_of_one_run_only_is_named(tmp_path):
    was, now = write_run(tmp_path / "a"), write_run(tmp_path / "b")
    (was / "ledger/draw.json").unlink()
    (was / "figures/wheel.svg").unlink()
    manifest = json.loads((was / "manifest.json").read_text())
    del manifest["outputs"]["figures/wheel.svg"]
    (was / "manifest.json").write_text(json.dumps(manifest))
    found = compare_folders(was, now)
    assert kinds(found, "figures/wheel.svg") == {("one_run", "draw")}


@pytest.mark.parametrize("damage", ["{", "[]", "3", "\udcff"])
def test_records_that_are_damaged_are_named_and_stop_nothing(tmp_path, damage):
    was, now = write_run(tmp_path / "a"), write_run(tmp_path / "b")
    for name in ("ledger/draw.json", "manifest.json"):
        (now / name).write_bytes(damage.encode("utf-8", "surrogateescape"))
    found = compare_folders(was, now)
    assert [(note.code, note.side, note.detail) for note in found.notes] == [
        ("bad_manifest", "now", "manifest.json"),
        ("bad_ledger", "now", "ledger/draw.json"),
    ]


def test_records_of_odd_shapes_stop_nothing(tmp_path):
    was, now = write_run(tmp_path / "a"), write_run(tmp_path / "b")
    (now / "ledger/draw.json").write_text('{"step": "draw", "inputs": [], "outputs": 3}')
    (now / "manifest.json").write_text('{"study": 3, "config": [], "outputs": null, "inputs": 1}')
    assert paths(compare_folders(was, now)) == set()
    (now / "figures/wheel.svg").write_text("<svg>2</svg>")
    assert paths(compare_folders(was, now)) == {"figures/wheel.svg"}
