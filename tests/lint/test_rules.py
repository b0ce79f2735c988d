"""The anatomy of rules: each has a docstring, log, benchmark, code and the script of its name."""

import importlib
import re
from pathlib import Path

import pytest
from felloe.report.catalogue import TABLES
from test_layers import LIBRARY, STAGES, WITHOUT_RULES

SHARED = ("logs", "benchmarks", "figures")
# the colours stand beside the angles; a job that does the last step of one stage with the first of
# the next, or several that always run together, writes for those stages too
ROOMS = {
    "matrices": ("validation",),
    "comparison": ("validation",),
    "clustering": ("comparison",),
    "sensitivity": ("tiers", "circle"),
    "colours": ("circle",),
    "report": ("validation", "tiers", "sensitivity", "circle", "colours"),
}
ROOT = Path(__file__).parents[2]
RULE_FILES = sorted((ROOT / "workflow" / "rules").glob("*.smk"))


def stage_of(path):
    """A stage with more rules than one file holds has further ones: `report_colours.smk`."""
    return path.stem.split("_")[0]


# a rule of its own for each study stands in a loop, and ends in the study's name
HEADS = re.compile(r"^(?: {4}rule:\n(?=(?:.*\n){2} *f\"(\w+)_\{study\}\"\n)|rule (\w+):\n)", re.M)


def rules_in(path):
    _, *parts = HEADS.split(path.read_text(encoding="utf-8"))
    for of_study, of_all, body in zip(parts[::3], parts[1::3], parts[2::3]):
        if of_study:
            body = re.sub(r"^ {4}", "", body, flags=re.MULTILINE)
        yield of_study or of_all, re.split(r"^\S", body, flags=re.MULTILINE)[0]


ALL_RULES = [
    pytest.param(name, body, id=name) for path in RULE_FILES for name, body in rules_in(path)
]


def test_rules_are_found():
    assert len(ALL_RULES) >= 10


@pytest.mark.parametrize(("name", "body"), ALL_RULES)
def test_a_rule_opens_with_what_it_does(name, body):
    assert body.lstrip().startswith('"""')


@pytest.mark.parametrize(("name", "body"), ALL_RULES)
def test_a_rule_runs_the_script_of_its_name(name, body):
    assert f'"../../scripts/{name}.py"' in body
    assert (ROOT / "scripts" / f"{name}.py").is_file()


@pytest.mark.parametrize(("name", "body"), ALL_RULES)
def test_a_rule_reruns_when_its_library_code_changes(name, body):
    assert f'code=code_of("{name}")' in body


@pytest.mark.parametrize(("name", "body"), ALL_RULES)
def test_a_rule_keeps_a_log_and_a_benchmark_under_its_name(name, body):
    assert re.search(rf"log:\s+f?\"results/.*logs/{name}[./]", body)
    assert re.search(rf"benchmark:\s+f?\"results/.*benchmarks/{name}[./]", body)


@pytest.mark.parametrize(("name", "body"), ALL_RULES)
def test_a_rule_names_its_environment(name, body):
    assert 'conda:\n        "../envs/study.yaml"' in body


@pytest.mark.parametrize("path", RULE_FILES, ids=lambda path: path.name)
def test_rule_files_are_short_and_open_with_what_they_read_and_write(path):
    text = path.read_text(encoding="utf-8")
    assert text.startswith('"""')
    assert text.count("\n") < 200
    assert "\n    run:" not in text


def test_a_rule_reads_only_what_its_own_stage_and_those_upstream_write():
    for path in RULE_FILES:
        if (stage := stage_of(path)) in STAGES:
            allowed = {stage, *STAGES[stage], *SHARED, *ROOMS.get(stage, ())}
            text = path.read_text(encoding="utf-8")
            for folder in re.findall(r"results/{{?study}?}/(\w+)/", text):
                assert folder in allowed, f"{path.name} names results of {folder}"


def test_every_stage_has_its_rules():
    assert {stage_of(path) for path in RULE_FILES} - {"common", "results"} == set(STAGES) - {
        "ground"
    }


OUTPUT = re.compile(r"^    output:\n(.*?)(?=^    \w|\Z)", re.DOTALL | re.MULTILINE)
RESULT = re.compile(r"\"results/(?:editions/)?\{+[^/]*\}+/([^\"]+\.(\w+))\"")


def written(path, kind):
    """Yield the lasting results of a kind that a rule file declares, relative to the study's."""
    for _, body in rules_in(path):
        for line in "".join(OUTPUT.findall(body)).splitlines():
            for name, ending in RESULT.findall(line):
                if ending == kind and "temp(" not in line:
                    yield re.sub(r"\{.*?\}", "any", name)


def test_the_rules_know_which_tables_tell_of_single_people():
    text = (ROOT / "workflow" / "rules" / "results.smk").read_text(encoding="utf-8")
    (named,) = re.findall(r"^PERSONAL = .*?in \((.*?)\)\n", text, re.DOTALL | re.MULTILINE)
    declared = {table.path for table in TABLES if table.personal}
    assert {f"validation/{name}.csv" for name in re.findall(r'"(\w+)"', named)} == declared


OF_STAGES = [path for path in RULE_FILES if stage_of(path) in STAGES]
WRITTEN = [(stage_of(path), name) for path in OF_STAGES for name in written(path, "csv")]
RECORDS = [(stage_of(path), name) for path in OF_STAGES for name in written(path, "json")]


def test_tables_and_records_of_rules_are_found():
    assert len(WRITTEN) > 30
    assert len(RECORDS) > 10


@pytest.mark.parametrize(("stage", "name"), WRITTEN)
def test_a_table_that_a_rule_writes_is_declared_by_its_stage(stage, name):
    tables = [
        table
        for owner in (stage, *ROOMS.get(stage, ()))
        for table in importlib.import_module(f"felloe.{owner}.tables").TABLES
    ]
    assert [table.path for table in tables if table.fits(name)]


@pytest.mark.parametrize(("stage", "name"), RECORDS)
def test_a_record_that_a_rule_writes_has_a_schema(stage, name):
    record = name.split("/")[-1].split(".")[0]  # `chart.any` is the chart in another language
    schemas = ROOT / "workflow" / "schemas" / "records"
    owners = (stage, *ROOMS.get(stage, ()))
    assert [own for own in owners if (schemas / f"{own}.{record}.schema.yaml").is_file()]


@pytest.mark.parametrize(("stage", "name"), [*WRITTEN, *RECORDS])
def test_a_stage_writes_into_the_folder_of_its_name(stage, name):
    above = ("manifest.json", "environment.json", "ro-crate-metadata.json")
    if stage not in ("editions", "timeline") and name not in above:  # those stand above the stages
        assert name.split("/")[0] in (stage, *ROOMS.get(stage, ()))


@pytest.mark.parametrize("stage", STAGES)
def test_library_and_tests_have_a_folder_of_each_stages_name(stage):
    assert (LIBRARY / stage).is_dir()
    assert (ROOT / "tests" / "unit" / stage).is_dir()


def test_every_folder_is_a_stages():
    folders = {path.parent.name for path in LIBRARY.glob("*/__init__.py")}
    assert folders == {*STAGES, *WITHOUT_RULES, "archiving", "launching"}
    tested = {path.name for path in (ROOT / "tests" / "unit").iterdir() if path.is_dir()}
    assert tested - {"__pycache__"} == folders


def test_every_step_has_a_rule():
    named = {param.values[0] for param in ALL_RULES}
    assert {path.stem for path in (ROOT / "scripts").glob("*.py")} == named


def test_a_step_takes_the_names_of_its_rule_as_keywords():
    for path in sorted((ROOT / "scripts").glob("*.py")):
        text = path.read_text(encoding="utf-8")
        assert re.search(r"^def main\(\s*\*,", text, re.MULTILINE), path.name
        assert "    run_step(main)" in text, path.name


SHARING = sorted(path for stage in STAGES for path in (LIBRARY / stage / "steps").glob("[!_]*.py"))


@pytest.mark.parametrize("path", SHARING, ids=lambda path: path.stem)
def test_a_step_that_shares_a_job_is_done_by_one(path):
    imports = rf"^from felloe\.{path.parts[-3]}\.steps import .*\b{path.stem}\b"
    scripts = (ROOT / "scripts").glob("*.py")
    done = [each for each in scripts if re.search(imports, each.read_text(encoding="utf-8"), re.M)]
    assert len(done) == 1
