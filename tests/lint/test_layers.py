"""Imports point one way: a stage may use the ground and the stages upstream of it."""

import ast
import re
from collections import Counter
from pathlib import Path

import pytest

LIBRARY = Path(__file__).parents[2] / "scripts" / "felloe"
STEPS = sorted(LIBRARY.parent.glob("*.py"))
MODULES = sorted(path for path in LIBRARY.rglob("*.py") if "__pycache__" not in path.parts)
STAGES = {  # each with the stages upstream of it; the ground lies under all
    "ground": (),
    "validation": (),
    "matrices": ("validation",),
    "comparison": ("validation", "matrices"),
    "clustering": ("validation", "matrices", "comparison"),
    "tiers": ("validation", "matrices", "comparison", "clustering"),
    "circle": ("validation", "matrices", "comparison", "clustering", "tiers"),
    "sensitivity": ("validation", "matrices", "comparison", "clustering", "tiers", "circle"),
    "colours": (
        "validation", "matrices", "comparison", "clustering", "tiers", "sensitivity", "circle",
    ),
    "report": (
        "validation", "matrices", "comparison", "clustering", "tiers", "sensitivity", "circle",
        "colours",
    ),
    "editions": (
        "validation", "matrices", "comparison", "clustering", "tiers", "sensitivity", "circle",
        "colours", "report",
    ),
    "timeline": (
        "validation", "matrices", "comparison", "clustering", "tiers", "sensitivity", "circle",
        "colours", "report", "editions",
    ),
}  # fmt: skip
# rooms whose code no rule runs: the launcher asks them
WITHOUT_RULES = {
    "audit": tuple(stage for stage in STAGES if stage != "ground"),
    "foresight": tuple(stage for stage in STAGES if stage != "ground"),
    "collecting": ("validation", "allocation", "report"),
    "allocation": ("validation",),  # before the data there are no results to look at
}
ANYWHERE = {
    "felloe.__version__", "felloe.errors", "felloe.ground", "felloe.ledger", "felloe.versions",
}  # fmt: skip
KNOW_SNAKEMAKE = {LIBRARY / "step.py", LIBRARY / "launching" / "planning" / "plan.py"}
# rooms of a stage that are no numerics: files, drawings, sentences, pages, what was typed by people
TELLING = (
    "tables", "record", "words", "mark_words", "page", "figure", "figures", "parts", "newick",
    "writing", "drawing", "axis_names", "workbook", "manifest", "evidence",
    "hashes", "surroundings", "vocabulary", "chart", "wheel_page", "page_drawing",
    "page_entries", "page_style", "crosswalk", "reading", "study_report", "sorts", "received",
    "canonical", "design_file", "people_files",
    "__init__",
)  # fmt: skip
NUMERICS = [
    path
    for path in MODULES
    if path.relative_to(LIBRARY).parts[0] in {*STAGES, "allocation"}
    and not {"intake", "steps"} & set(path.parts)
    and not path.stem.startswith("figure_")
    and path.stem not in TELLING
    and not path.stem.endswith(("_tables", "_record"))
]
HEAVY = {
    "pandas",
    "scipy",
    "skbio",
    "matplotlib",
    "rdflib",
    "openpyxl",
    "xlsxwriter",
    "fontTools",
    "fpdf",
    "jinja2",
    "jsonschema",
}


def imports(path, top_level_only=False):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    nodes = tree.body if top_level_only else ast.walk(tree)
    for node in nodes:
        if isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path.name}: relative import"
            if node.module == "felloe":  # `from felloe import circle` imports a stage
                yield from (f"felloe.{alias.name}" for alias in node.names)
            else:
                yield node.module
        elif isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(LIBRARY).as_posix())
def test_a_stage_imports_only_what_lies_upstream(path):
    stage = path.relative_to(LIBRARY).parts[0]
    upstream = {**STAGES, **WITHOUT_RULES}
    if stage not in upstream:
        return
    allowed = {stage, "ground", *upstream[stage]}
    for name in imports(path):
        if name.split(".")[0] == "felloe" and name not in ANYWHERE:
            assert name.split(".")[1] in allowed, f"{stage} imports {name}"


@pytest.mark.parametrize("path", STEPS, ids=lambda path: path.stem)
def test_a_step_imports_only_what_lies_upstream_of_its_rule(path):
    rules = LIBRARY.parents[1] / "workflow" / "rules"
    (stage,) = [
        file.stem.split("_")[0]
        for file in rules.glob("*.smk")
        if f'code_of("{path.stem}")' in file.read_text(encoding="utf-8")
    ]
    allowed = {stage, "ground", *STAGES[stage]}
    for name in imports(path):
        if name.split(".")[0] == "felloe" and name not in {*ANYWHERE, "felloe.step"}:
            assert name.split(".")[1] in allowed, f"{path.name}, a step of {stage}, imports {name}"


@pytest.mark.parametrize(
    "path", [*MODULES, *STEPS], ids=lambda path: path.relative_to(LIBRARY.parent).as_posix()
)
def test_slow_imports_stand_where_they_are_used(path):
    # importing them costs more than most steps compute; measured figures in DEVELOPERS.md
    heavy = {name for name in imports(path, top_level_only=True) if name.split(".")[0] in HEAVY}
    assert not heavy


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(LIBRARY).as_posix())
def test_only_step_and_plan_know_snakemake(path):
    if path not in KNOW_SNAKEMAKE:
        assert "snakemake" not in {name.split(".")[0] for name in imports(path)}


def test_numerics_open_no_files_and_print_nothing():
    for path in NUMERICS:
        calls = {
            node.func.id
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
        }
        assert not calls & {"open", "print"}, path.name


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(LIBRARY).as_posix())
def test_every_public_function_says_what_it_does(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    assert ast.get_docstring(tree), f"{path.name} has no docstring"
    for node in tree.body:
        if isinstance(node, (ast.FunctionDef, ast.ClassDef)) and not node.name.startswith("_"):
            assert ast.get_docstring(node), f"{path.name}: {node.name} has no docstring"


def test_no_two_files_of_tests_or_helpers_have_one_name():
    # the tests' folders lie on the path, none is a package: one name would stand for two files
    names = Counter(
        path.name
        for path in (LIBRARY.parents[1] / "tests").rglob("*.py")
        if path.name not in ("conftest.py", "__init__.py")
    )
    assert [name for name, times in names.items() if times > 1] == []


def test_no_test_imports_from_the_nearest_conftest():
    # which one that is hangs on what else is collected
    found = [
        path.name
        for path in (LIBRARY.parents[1] / "tests").rglob("*.py")
        if re.search(r"^(from|import) conftest\b", path.read_text(encoding="utf-8"), re.M)
    ]
    assert found == []
