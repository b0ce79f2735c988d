"""What an archive holds, what it leaves out, and of which results none is made."""

import contextlib
import hashlib
import json
import os
import re
import shutil
import zipfile
from io import BytesIO
from pathlib import Path

import pytest
import yaml
from felloe.archiving import command
from felloe.archiving.contents import PROGRAMS, Request, code_members, left_empty, working_folder
from felloe.archiving.wholeness import Kept, manifest_of
from felloe.archiving.withheld import is_open, rebuilding, tells_of_people
from felloe.ledger import Entry
from felloe.validation.tables import FINDINGS
from felloe.versions import PROJECT
from small_study import PEOPLE, RESPONDENTS

NAMES = re.compile(rb"(?:somebody|picker)-[0-9]{2}")
ASKED = {
    "configfiles": ["small.yaml"], "study": None, "place": "",
    "shown": ["--configfile", "small.yaml"],
}  # fmt: skip


@pytest.fixture(scope="module")
def folder(small_results, tmp_path_factory):
    """A copy of the folder that the small study ran in; tests leave it as it is."""
    copy = tmp_path_factory.mktemp("archived") / "here"
    shutil.copytree(small_results.parents[1], copy, ignore=shutil.ignore_patterns(".snakemake"))
    return copy


def archive(folder, **asked):
    with contextlib.chdir(folder):
        return command.main({**ASKED, **asked})


def contents(folder, people):
    """Return the members of an archive, below its top folder."""
    assert archive(folder, people=people) == 0
    name = f"guild.{'with' if people else 'without'}-people"
    with zipfile.ZipFile(folder / "archives" / f"{name}.zip") as packed:
        found = {each: packed.read(each) for each in packed.namelist()}
    assert all(each.startswith(f"{name}/") for each in found)
    return {each.removeprefix(f"{name}/"): data for each, data in found.items()}


@pytest.fixture(scope="module")
def whole(folder):
    return contents(folder, people=True)


@pytest.fixture(scope="module")
def without(folder):
    return contents(folder, people=False)


def named_in(data):
    """Return the people whom a member names, also in what is packed in it."""
    found = set(NAMES.findall(data))
    if zipfile.is_zipfile(BytesIO(data)):
        with zipfile.ZipFile(BytesIO(data)) as packed:
            for each in packed.namelist():
                found |= set(NAMES.findall(packed.read(each)))
    return {name.decode() for name in found}


def test_with_people_everything_is_there(folder, whole):
    manifest = json.loads(whole["results/guild/manifest.json"])
    for name in manifest["outputs"]:
        assert whole[f"results/guild/{name}"] == (folder / "results/guild" / name).read_bytes()
    for name in manifest["inputs"]:
        assert whole[f"guild/{name}"] == (folder / "guild" / name).read_bytes()
    assert set().union(*map(named_in, whole.values())) == {*PEOPLE, *RESPONDENTS}


def test_without_people_nobody_is_named(without):
    assert len(without) > 300
    assert {name: found for name, data in without.items() if (found := named_in(data))} == {}


def test_without_people_the_study_is_words_and_decisions(without):
    files = {name for name in without if name.startswith("guild/")}
    assert files == {f"guild/{name}" for name in OPEN}
    assert any(name.startswith("results/guild/matrices/") for name in without)


OPEN = ("study.yaml", "terms.csv", "names.csv", "decisions.csv", "labels.csv")


@pytest.mark.parametrize("kind", ["whole", "without"])
def test_neither_logs_nor_what_tells_of_a_machine_is_in_it(kind, request, folder):
    members = request.getfixturevalue(kind)
    folders = {part for name in members for part in name.split("/")}
    assert not folders & {"logs", "benchmarks", "tests", ".git", ".snakemake", "environment.json"}
    assert [name for name, data in members.items() if str(folder).encode() in data] == []


@pytest.mark.parametrize("kind", ["whole", "without"])
def test_every_member_stands_in_the_sums(kind, request):
    members = request.getfixturevalue(kind)
    lines = members["SHA256SUMS"].decode().splitlines()
    sums = {name: value for value, name in (line.split("  ", 1) for line in lines)}
    assert set(sums) == set(members) - {"SHA256SUMS"}
    assert all(hashlib.sha256(members[name]).hexdigest() == sums[name] for name in sums)


def test_the_settings_are_those_of_the_manifest(whole):
    settings = yaml.safe_load(whole["settings.yaml"])
    assert settings["bootstrap"].pop("parts") == 1
    assert settings == json.loads(whole["results/guild/manifest.json"])["config"]


def test_how_to_rerun_is_three_lines(whole, without):
    for members, name in ((whole, "guild.with-people"), (without, "guild.without-people")):
        first, second, third, empty, *_ = members["HOW-TO-RERUN.txt"].decode().split("\n")
        assert first == f"unzip -q {name}.zip && cd {name}"
        assert second.endswith("python3 scripts/run --configfile settings.yaml --directory .")
        assert third.startswith("sha256sum --check")
        assert empty == ""


def test_the_project_in_it_has_what_its_rules_read_and_every_profile_whole():
    rules = [PROJECT / "Snakefile", *(PROJECT / "workflow" / "rules").glob("*.smk")]
    text = "".join(path.read_text(encoding="utf-8") for path in rules)
    read = set(re.findall(r'ROOT / "([^"]+\.csv)"', text))
    profiles = [path for path in (PROJECT / "workflow/profiles").rglob("*") if path.is_file()]
    assert "workflow/resources.csv" in read
    assert read | {path.relative_to(PROJECT).as_posix() for path in profiles} <= set(code_members())
    runnable = {
        path.relative_to(PROJECT).as_posix() for path in profiles if os.access(path, os.X_OK)
    }
    assert runnable | {"scripts/run"} == set(PROGRAMS)


def test_a_license_that_nobody_stated_is_told(whole):
    assert "no licence was stated" in whole["HOW-TO-RERUN.txt"].decode()
    root = json.loads(whole["ro-crate-metadata.json"])["@graph"][1]
    assert "license" not in root


def test_what_can_be_made_anew_reads_nothing_that_was_left_out(without):
    plan = json.loads(without["WITHOUT-PEOPLE.json"])
    told = without["HOW-TO-RERUN.txt"].decode()
    prefix = "results/guild/ledger/"
    entries = [json.loads(data) for name, data in without.items() if name.startswith(prefix)]
    steps = {entry["step"] for entry in entries}
    for entry in entries:
        there = all(name.replace("study/", "guild/") in without for name in entry["inputs"])
        there &= not any("/validation/" in name for name in entry["outputs"])
        assert (entry["step"] in plan["rules"]) == there or entry["step"] in several(entries)
        assert f"\n- {entry['step']}" in told
    assert {"cluster_terms", "draw_evidence", "draw_wheel", "publish_tiers"} <= set(plan["rules"])
    assert not {"gather_replicates", "compare_populations", "write_report"} & set(plan["rules"])
    assert set(plan["rules"]) < steps
    assert set(plan["targets"]) <= set(without)


def several(entries):
    """Return the steps that have more than one job."""
    steps = [entry["step"] for entry in entries]
    return {step for step in steps if steps.count(step) > 1}


def test_the_same_bytes_come_again(folder, whole):
    path = folder / "archives" / "guild.with-people.zip"
    once = path.read_bytes()
    path.unlink()
    assert archive(folder, people=True, study="guild") == 0
    assert path.read_bytes() == once


def lost(results):
    (results / "figures" / "ring.svg").unlink()
    return "results/guild/figures/ring.svg is missing."


def changed(results):
    with open(results / "circle" / "order.csv", "a", encoding="utf-8") as stream:
        stream.write("\n")
    return "results/guild/circle/order.csv is not what results/guild/manifest.json says."


def forgotten(results):
    (results / "ledger" / "draw_evidence.json").unlink()
    return "results/guild/ledger has no entry for draw_evidence."


def rewritten(results):
    text = (results / "manifest.json").read_text(encoding="utf-8")
    (results / "manifest.json").write_text(text.replace("Pearson", "") + " ", encoding="utf-8")
    return "results/guild/manifest.json is not what its step wrote."


def never_made(results):
    (results / "manifest.json").unlink()
    return "results/guild/manifest.json is missing or cannot be read."


def of_other_sorts(results):
    with open(results.parents[1] / "guild" / "terms.csv", "a", encoding="utf-8") as stream:
        stream.write("fir,Fir,,,\n")
    return "guild/terms.csv was changed or added since the study ran."


def of_other_settings(results):
    with open(results.parents[1] / "small.yaml", "a", encoding="utf-8") as stream:
        stream.write("seed: 7\n")
    return "results/guild/manifest.json is of other settings."


@pytest.mark.parametrize(
    "harm",
    [lost, changed, forgotten, rewritten, never_made, of_other_sorts, of_other_settings],
    ids=lambda harm: harm.__name__,
)
def test_no_archive_is_made_of_results_that_are_not_whole(harm, folder, tmp_path, capsys):
    copy = tmp_path / "here"
    shutil.copytree(folder, copy, ignore=shutil.ignore_patterns("archives"))
    told = harm(copy / "results" / "guild")
    assert archive(copy, people=True) == 1
    said = capsys.readouterr().err
    assert told in said
    assert said.endswith("First call: python3 scripts/run --configfile small.yaml\n")
    assert len(said.splitlines()) < 25
    assert not (copy / "archives").exists()


@pytest.mark.parametrize(
    "text", ["null", "[]", "3", "{", "{}", '{"study": "guild", "outputs": null}', None]
)
def test_a_manifest_that_is_none_is_told_from_one(text, tmp_path):
    record = {"project": {}, "config": {}, "inputs": {}, "outputs": {}, "graph": {}}
    (tmp_path / "manifest.json").write_text(json.dumps({"study": "guild", **record}), "utf-8")
    assert manifest_of(str(tmp_path))["study"] == "guild"
    (tmp_path / "manifest.json").write_text(text or json.dumps({**record, "graph": None}), "utf-8")
    assert manifest_of(str(tmp_path)) is None


def test_a_study_that_there_is_not_is_a_wrong_command(folder, capsys):
    assert archive(folder, people=True, study="gild") == 2
    said = capsys.readouterr().err
    assert said == "gild is no study of these settings. Did you mean 'guild'?\n"


@pytest.mark.parametrize(
    ("places", "work"),
    [
        (["a"], "."),
        (["a/b", "../c"], "work"),
        (["../../c", "../d/../x"], "work/work"),
        (["."], "work"),
        ([".."], "work/work"),
        (["config"], "work"),
        (["../scripts/mine", "a"], "work/work"),
    ],
)
def test_the_working_folder_lies_so_deep_that_paths_stay_within(places, work):
    assert working_folder(places) == work


@pytest.mark.parametrize(
    "path", ["validation/sorts.csv", "validation/findings.csv", "validation/new.csv"]
)
def test_tables_on_people_and_unknown_ones_of_validation_stay_out(path):
    assert tells_of_people(path)


@pytest.mark.parametrize("path", ["validation/flow.csv", "validation/study.json", "tiers/x.csv"])
def test_counts_and_words_may_be_passed_on(path):
    assert not tells_of_people(path)


def test_only_known_files_of_a_study_may_be_passed_on():
    assert all(map(is_open, [*OPEN, "names.xlsx", "crosswalk.csv", "crosswalk-draft.xlsx"]))
    told = ("sorts.csv", "sorts.xlsx", "participants.csv", "colours.csv", "design.csv")
    for name in (*told, "invitations.csv", "pile_words.csv", "returns/a.json", "names.txt"):
        assert not is_open(name)


def test_a_step_can_be_made_anew_only_if_each_of_its_jobs_can():
    def entry(step, inputs, output):
        return Entry(step, "", {}, {}, dict.fromkeys(inputs, ""), {output: ""})

    entries = [
        entry("part", ["results/a/x.csv"], "results/a/p/1"),
        entry("part", ["results/a/validation/sorts.csv"], "results/a/p/2"),
        entry("draw", ["results/a/x.csv", "study/terms.csv"], "results/a/f.svg"),
        entry("check", ["study/terms.csv"], "results/a/validation/x.json"),
    ]
    plan = rebuilding(entries, ["results/a/x.csv", "study/terms.csv"])
    assert (plan.rules, plan.targets) == (["draw"], ["results/a/f.svg"])
    assert plan.missing == {"check": ["study/sorts.csv"], "part": ["validation/sorts.csv"]}


def test_of_a_file_that_no_step_reads_the_name_alone_is_passed_on(tmp_path):
    home = tmp_path / "results" / "guild"
    (home / "validation").mkdir(parents=True)
    unread = ["who is who.csv", "=who.csv", "who, too.csv"]
    noted = [("note", name, None, "", "", "not read") for name in ["sorts.csv", "", *unread]]
    FINDINGS.write(home / "validation" / "findings.csv", noted)
    manifest = {
        "study": "guild", "inputs": {"sorts.csv": ""}, "config": {"studies": {"guild": "my/guild"}},
    }  # fmt: skip
    kept = [Kept(str(home), manifest, {})]
    found = left_empty(Request("guild", True, {}, kept))
    assert sorted(found) == sorted(f"my/guild/{name}" for name in unread)
    assert left_empty(Request("guild", False, {}, kept)) == []


def test_every_part_of_the_crate_is_in_the_archive(whole, without):
    for members in (whole, without):
        graph = json.loads(members["ro-crate-metadata.json"])["@graph"]
        by_id = {entity["@id"]: entity for entity in graph}
        assert len(by_id) == len(graph)
        for part in by_id["./"]["hasPart"]:
            name = part["@id"]
            assert name in members or any(each.startswith(name) for each in members), name
            assert part["@id"] in by_id
        action = by_id["#run"]
        assert by_id[action["instrument"]["@id"]]["@id"] == by_id["./"]["mainEntity"]["@id"]
        assert "ComputationalWorkflow" in by_id["Snakefile"]["@type"]
        assert {"guild/terms.csv", "settings.yaml"} <= {each["@id"] for each in action["object"]}
        assert "results/guild/manifest.json" in {each["@id"] for each in action["result"]}
        assert not {"startTime", "endTime"} & set(action)
        assert by_id["./"]["datePublished"] == "2031"


def test_an_unreadable_place_is_one_line(folder, tmp_path, capsys):
    copy = tmp_path / "here"
    shutil.copytree(folder, copy, ignore=shutil.ignore_patterns("archives"))
    Path(copy, "archives").write_text("", encoding="utf-8")  # no folder
    assert archive(copy, people=True) == 1
    assert len(capsys.readouterr().err.splitlines()) == 1
