"""The checks of the code: one line each, every one is run, what could not be run is said."""

import json

import pytest
from felloe.launching.checks import CHECKS, TOOLS, run_checks
from felloe.launching.running import ROOT

PROGRAM = "#!/bin/sh\n{}\n"


def write_program(path, content):
    path.write_text(PROGRAM.format(content), encoding="utf-8")
    path.chmod(0o755)


@pytest.fixture
def checked(tmp_path, monkeypatch):
    """Run the checks with programs that do what the test says; return exit status and lines."""
    (tmp_path / ".ci").mkdir()
    for name in TOOLS:
        (tmp_path / ".ci" / name).write_text("{}", encoding="utf-8")

    def checking(python="exit 0", **programs):
        places = tmp_path / "bin"
        places.mkdir(exist_ok=True)
        write_program(tmp_path / "python", python)
        for name, content in programs.items():
            write_program(places / name, content)
        monkeypatch.setenv("PATH", str(places))
        said = []
        status = run_checks(tmp_path, tmp_path / "python", said.append)
        return status, said

    return checking


def test_checks_that_are_content_are_a_line_each(checked):
    status, said = checked(node="exit 0", npm="exit 0")
    assert status == 0
    assert len(said) == len(CHECKS) + 1
    assert all(line.endswith(" ok") for line in said)


@pytest.mark.parametrize("module", [words.split()[0] for _, words in CHECKS])
def test_a_check_that_fails_shows_why_and_the_others_are_still_run(checked, module):
    failing = f'if [ "$2" = {module} ]; then echo odd.py:1; exit 1; fi'
    status, said = checked(failing, node="exit 0", npm="exit 0")
    assert status == 1
    assert len(said) == len(CHECKS) + 1
    assert [line for line in said if not line.endswith(" ok")] == [
        line for line in said if line.endswith("failed\nodd.py:1")
    ]


def test_a_fault_in_a_script_of_a_page_fails(checked):
    status, said = checked(node="echo no-undef; exit 1", npm="exit 0")
    assert status == 1
    assert said[-1].endswith("failed\nno-undef")


@pytest.mark.parametrize("programs", [{}, {"node": "exit 0"}])
def test_without_node_it_is_said_which_check_was_not_run(checked, programs):
    status, said = checked(**programs)
    assert status == 0
    assert said[-1] == "eslint       not run: Node.js with npm is not installed here"


def test_without_a_network_it_is_said_which_check_was_not_run_and_tried_again_later(checked):
    status, said = checked(node="exit 0", npm="exit 1")
    assert status == 0
    assert said[-1] == "eslint       not run: the packages for it cannot be reached"
    _, said = checked(node="exit 0", npm="exit 0")
    assert said[-1].endswith(" ok")


def test_a_lock_of_the_linter_that_does_not_hold_fails(checked):
    status, said = checked(node="exit 0", npm='if [ "$1" = ci ]; then echo no lock; exit 1; fi')
    assert status == 1
    assert said[-1].endswith("failed\nno lock")


def test_a_linter_that_was_fetched_is_not_fetched_again(checked):
    checked(node="exit 0", npm="exit 0")
    status, said = checked(node="exit 0", npm="exit 1")
    assert status == 0
    assert said[-1].endswith(" ok")


def test_the_linters_lock_names_no_host_and_hashes_everything():
    text = (ROOT / ".ci" / "package-lock.json").read_text(encoding="utf-8")
    assert "://" not in text
    packages = {name: about for name, about in json.loads(text)["packages"].items() if name}
    assert len(packages) > 20
    assert all(about["integrity"].startswith("sha512-") for about in packages.values())
