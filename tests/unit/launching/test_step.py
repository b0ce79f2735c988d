"""A step is a function call; what goes wrong in it is told without a traceback on the screen."""

import subprocess
import sys
from pathlib import Path

from felloe.ground.files.hashes import sha256_of
from felloe.ledger import read_entry
from felloe.versions import CODE_VARIABLE, project_code

SCRIPTS = Path(__file__).parents[3] / "scripts"
LOG = "results/a/logs/do_it.log"
WRITES = "open(table, 'w').write('whole')"
PROGRAM = """
import sys
sys.path.insert(0, {scripts!r})
from felloe.errors import StudyError
from felloe.step import run_step


class Names(dict):
    pass


class Snakemake:
    rule = "do_it"
    log = [{log!r}]
    input = Names(sorts="in.csv")
    output = Names(table="out.csv")
    params = Names(code="abc", n=3)


def main(*, sorts, table, n):
    {body}


snakemake = Snakemake()
run_step(main)
"""


def run(tmp_path, body):
    program = PROGRAM.format(scripts=str(SCRIPTS), log=LOG, body=body)
    (tmp_path / "in.csv").write_text("participant,term,pile\n", encoding="utf-8")
    finished = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, cwd=tmp_path
    )
    return finished, (tmp_path / LOG).read_text(encoding="utf-8")


def test_a_step_gets_the_names_of_its_rule_and_not_the_code(tmp_path):
    finished, log = run(tmp_path, f"print(sorts, table, n); {WRITES}")
    assert finished.returncode == 0
    assert log == "in.csv out.csv 3\n"


def test_a_fault_of_the_study_is_told_without_a_traceback(tmp_path):
    finished, log = run(tmp_path, "raise StudyError('sorts.csv, line 3: mend it')")
    assert finished.returncode == 1
    assert log == "sorts.csv, line 3: mend it\n"
    assert "Traceback" not in finished.stdout + finished.stderr


def test_a_fault_of_the_program_leaves_its_traceback_in_the_log_only(tmp_path):
    finished, log = run(tmp_path, "raise ValueError('odd')")
    assert finished.returncode == 1
    assert "Traceback" in log
    assert log.splitlines()[-1] == "do_it: ValueError: odd"
    assert "Traceback" not in finished.stdout + finished.stderr


def entry(tmp_path):
    return read_entry(tmp_path / "results" / "a" / "ledger" / "do_it.json")


def test_a_step_that_ends_well_is_entered_into_the_ledger(tmp_path):
    run(tmp_path, WRITES)
    made = entry(tmp_path)
    assert (made.step, made.code, made.settings) == ("do_it", "abc", {"n": 3})
    assert made.inputs == {"study/in.csv": sha256_of(tmp_path / "in.csv")}
    assert list(made.outputs.values()) == [sha256_of(tmp_path / "out.csv")]


def test_a_step_that_fails_is_not_entered_and_takes_its_earlier_entry_along(tmp_path):
    run(tmp_path, WRITES)
    run(tmp_path, "open(table, 'w').write('half'); raise ValueError('odd')")
    assert entry(tmp_path) is None


def test_a_step_that_fails_and_leaves_its_earlier_results_leaves_their_entry(tmp_path):
    run(tmp_path, WRITES)
    before = entry(tmp_path)
    run(tmp_path, "raise ValueError('odd')")
    assert entry(tmp_path) == before


def test_an_input_that_changes_while_the_step_is_at_work_fails_it(tmp_path):
    finished, log = run(tmp_path, f"{WRITES}; open('in.csv', 'a').write('more')")
    assert finished.returncode == 1
    assert "study/in.csv changed while the step was reading" in log
    assert entry(tmp_path) is None


def test_code_that_is_not_what_the_run_was_planned_with_fails_the_step(tmp_path, monkeypatch):
    monkeypatch.setenv(CODE_VARIABLE, project_code())
    assert run(tmp_path, WRITES)[0].returncode == 0
    monkeypatch.setenv(CODE_VARIABLE, "of another day")
    finished, log = run(tmp_path, WRITES)
    assert finished.returncode == 1
    assert "code changed while the run was at work" in log
