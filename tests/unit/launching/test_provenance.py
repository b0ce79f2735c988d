"""An edited library file reruns what it is part of, and no more."""

import ast
import shutil
import subprocess

import pytest
from felloe import provenance
from felloe.provenance import canonical, code_of, files_of

STEP = '"""Step."""\nfrom felloe.part import part\n'
PART = '"""A part."""\n\n\ndef part(x):\n    """Return x."""\n    return x + 1\n'


def names(step):
    return {path.name for path in files_of(step)}


@pytest.fixture
def library(tmp_path, monkeypatch):
    """Return a folder of scripts with one step and one module, as the project has them."""

    def use(folder):
        monkeypatch.setattr(provenance, "SCRIPTS", folder)
        monkeypatch.setattr(provenance, "LIBRARY", folder / "felloe")
        for cached in ("source_of", "module_files"):
            getattr(provenance, cached).cache_clear()
        return code_of("step")

    scripts = tmp_path / "scripts"
    (scripts / "felloe").mkdir(parents=True)
    (scripts / "step.py").write_text(STEP)
    (scripts / "felloe" / "__init__.py").write_text("")
    (scripts / "felloe" / "part.py").write_text(PART)
    yield scripts, use
    for cached in ("source_of", "module_files"):
        getattr(provenance, cached).cache_clear()


def test_a_step_depends_on_its_own_script():
    assert "count_cooccurrence.py" in names("count_cooccurrence")


def test_a_step_depends_on_what_it_imports_directly():
    assert {"step.py", "sorts.py", "counts.py", "tables.py"} <= names("count_cooccurrence")


def test_a_step_depends_on_what_its_imports_import():
    assert {"writing.py", "errors.py"} <= names("count_cooccurrence")


def test_a_step_does_not_depend_on_what_it_does_not_use():
    assert not {"drawing.py", "figures.py", "words.py"} & names("count_cooccurrence")


def test_a_page_depends_on_its_templates_and_not_on_those_of_another_page():
    assert "report.html.j2" in names("write_report")
    assert "wheel.html.j2" not in names("write_report")
    assert "wheel.html.j2" in names("write_pages")


def test_a_figure_depends_on_no_template():
    assert not [name for name in names("draw_evidence") if name.endswith(".j2")]


def test_a_moved_project_has_the_same_code(library, tmp_path):
    scripts, use = library
    before = use(scripts)
    shutil.move(scripts, tmp_path / "else where")
    assert use(tmp_path / "else where") == before


@pytest.mark.parametrize(
    "edited", [PART + "\n# a comment\n", PART.replace("Return x.", "Return a number.")]
)
def test_an_edited_comment_or_docstring_is_the_same_code(library, edited):
    scripts, use = library
    before = use(scripts)
    (scripts / "felloe" / "part.py").write_text(edited)
    assert use(scripts) == before


def test_an_edited_module_is_other_code(library):
    scripts, use = library
    before = use(scripts)
    (scripts / "felloe" / "part.py").write_text(PART.replace("x + 1", "x + 2"))
    assert use(scripts) != before


def test_an_edited_template_is_other_code(library):
    scripts, use = library
    (scripts / "felloe" / "part.py").write_text(PART + 'READS = ("*.j2",)\n')
    (scripts / "felloe" / "page.j2").write_text("one")
    before = use(scripts)
    (scripts / "felloe" / "page.j2").write_text("two")
    assert use(scripts) != before


@pytest.mark.parametrize("prints", [False, True])
def test_what_a_column_means_counts_only_for_who_prints_it(library, prints):
    scripts, use = library
    declared = 'T = Table("t.csv", "Things.", (Column("a", "id", "a thing"),))\n'
    (scripts / "felloe" / "report" / "hand_off").mkdir(parents=True)
    (scripts / "felloe" / "report" / "hand_off" / "workbook.py").write_text("")
    printed = "from felloe.report.hand_off import workbook\n" if prints else ""
    (scripts / "felloe" / "part.py").write_text(printed + declared)
    before = use(scripts)
    (scripts / "felloe" / "part.py").write_text(printed + declared.replace("a thing", "one"))
    assert (use(scripts) != before) == prints
    (scripts / "felloe" / "part.py").write_text(printed + declared.replace('"id"', '"text"'))
    assert use(scripts) != before


def test_code_is_told_alike_under_every_python():
    # by hand, from the fields of the nodes; ast.dump differs between 3.12 and 3.13
    tree = ast.parse("def f(x=1, /):\n    return u'a'")
    assert canonical(tree) == (
        "Module(body=[FunctionDef(name='f', args=arguments(posonlyargs=[arg(arg='x')], "
        "defaults=[Constant(value=1)]), body=[Return(value=Constant(value='a'))])])"
    )


def test_other_pythons_at_hand_hash_a_step_alike():
    told = "import sys; sys.path.insert(0, sys.argv[1]); from felloe.provenance import code_of; "
    told += "print(sys.version_info >= (3, 11), code_of('write_report'))"
    others = [found for minor in range(11, 15) if (found := shutil.which(f"python3.{minor}"))]
    hashes = set()
    for python in others:
        done = subprocess.run(
            [python, "-c", told, str(provenance.SCRIPTS)], capture_output=True, text=True
        )
        hashes |= {done.stdout} if done.returncode == 0 else set()  # a name without a Python
    assert hashes <= {f"True {code_of('write_report')}\n"}
