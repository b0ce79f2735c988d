"""A step is a function call; what goes wrong in it is told without a traceback on the screen."""

import subprocess
import sys
from pathlib import Path

SCRIPTS = Path(__file__).parents[3] / "scripts"
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
    input = Names(code=["x.py"], sorts="in.csv")
    output = Names(table="out.csv")
    params = Names(n=3)


def main(*, sorts, table, n):
    {body}


snakemake = Snakemake()
run_step(main)
"""


def run(tmp_path, body):
    log = tmp_path / "logs" / "do_it.log"
    program = PROGRAM.format(scripts=str(SCRIPTS), log=str(log), body=body)
    finished = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    return finished, log.read_text(encoding="utf-8")


def test_a_step_gets_the_names_of_its_rule_and_not_the_code(tmp_path):
    finished, log = run(tmp_path, "print(sorts, table, n)")
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
