"""An edited library file reruns what it is part of, and no more."""

from pathlib import Path

from felloe.provenance import code_of


def names(step):
    return {Path(path).name for path in code_of(step)}


def test_a_step_depends_on_what_it_imports_directly():
    assert {"step.py", "sorts.py", "cooccurrence.py", "tables.py"} <= names("count_cooccurrence")


def test_a_step_depends_on_what_its_imports_import():
    assert {"writing.py", "errors.py"} <= names("count_cooccurrence")


def test_a_step_does_not_depend_on_what_it_does_not_use():
    assert not {"linkage.py", "style.py", "settings.py"} & names("count_cooccurrence")
