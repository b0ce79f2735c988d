"""A run that fails gives one screen: what, where, what to do; no traceback, nothing swallowed."""

import os
import signal
import sys
from pathlib import Path

import pytest
from felloe.launching.engine.events import Failed, Said
from felloe.launching.engine.failure import (
    ENDED,
    LINES_OF_A_SCREEN,
    LOCKED,
    explanation,
    message_of,
)
from felloe.launching.running import ROOT, Engine, watched
from felloe.launching.setup.environment import environment_variables

# What Snakemake 9.27.1 says after every failed job (read off its events).
EXIT_ONE = Said(
    "ERROR",
    'RuleException:\nCalledProcessError in file "Snakefile", line 7:\n'
    "Command 'set -euo pipefail;  python make.py' returned non-zero exit status 1.",
    "RuleException",
)
AFTERWARDS = [  # and then, once
    Said("ERROR", "Exiting because a job execution failed. Look above for error messages"),
    Said(
        "ERROR", "WorkflowError:\nAt least one job did not complete successfully.", "WorkflowError"
    ),
]


def screen_of(tmp_path, log=None, errors=(), text=(), failures=(("b", ["logs/b.log"]),)):
    if log is not None:
        (tmp_path / "logs").mkdir()
        (tmp_path / "logs" / "b.log").write_text(log, encoding="utf-8")
    failures = [Failed(*failed) for failed in failures]
    return explanation(tmp_path, failures, [*errors, *AFTERWARDS], text)


def test_a_failed_step_is_the_rule_its_message_and_its_log(tmp_path):
    screen = screen_of(tmp_path, "sorts.csv, line 3: mend it\n", [EXIT_ONE])
    assert screen == "b failed:\nsorts.csv, line 3: mend it\nLog: logs/b.log"


def test_a_failed_rule_named_for_one_study_is_shown_with_the_study_apart(tmp_path):
    log = "results/brine-2016/logs/count/pooled.log"
    screen = screen_of(tmp_path, failures=[("count_brine-2016", [log])])
    assert screen.startswith("count brine-2016 failed:")


def test_a_traceback_in_a_log_stays_there(tmp_path):
    screen = screen_of(
        tmp_path, "Traceback (most recent call last):\n  ...\n\nb: ValueError: odd\n", [EXIT_ONE]
    )
    assert screen == "b failed:\nb: ValueError: odd\nLog: logs/b.log"


def test_a_failure_fits_one_screen(tmp_path):
    screen = screen_of(tmp_path, "\n".join(f"fault {n}" for n in range(400)))
    assert len(screen.splitlines()) <= LINES_OF_A_SCREEN
    assert screen.endswith("Log: logs/b.log")


def test_many_failures_fit_one_screen_and_the_rest_is_counted(tmp_path):
    failures = [(f"rule_{n}", [f"logs/{n}.log"]) for n in range(100)]
    screen = screen_of(tmp_path, failures=failures)
    assert len(screen.splitlines()) <= LINES_OF_A_SCREEN + 2
    assert "rule_0 failed:" in screen
    assert screen.splitlines()[-1].startswith("... and ")


def test_a_step_that_was_ended_without_a_word_is_said_to_be(tmp_path):
    assert message_of(tmp_path / "none.log")[0].startswith(ENDED)


def test_a_step_without_a_log_tells_what_it_printed(tmp_path):
    printed = ["Traceback (most recent call last):", '  File "x.py", line 1, in <module>']
    printed += ["    import nothing", "ModuleNotFoundError: No module named 'nothing'"]
    screen = screen_of(tmp_path, None, [EXIT_ONE], printed)
    assert "ModuleNotFoundError: No module named 'nothing'" in screen
    assert "Traceback" not in screen
    assert "x.py" not in screen


def test_what_a_step_prints_is_not_shown_where_its_log_explains(tmp_path):
    assert "font cache" not in screen_of(tmp_path, "mend it\n", text=["building the font cache"])


def test_the_kill_of_a_step_is_told_although_its_log_has_words(tmp_path):
    killed = "RuleException:\nCommand 'python make.py' died with <Signals.SIGKILL: 9>."
    screen = screen_of(tmp_path, "half way\n", [Said("ERROR", killed, "RuleException")])
    assert "half way" in screen
    assert "died with <Signals.SIGKILL: 9>." in screen
    assert "--cores 1" in screen


def test_outputs_that_a_step_did_not_write_are_named(tmp_path):
    missing = (
        'MissingOutputException in rule make in file "Snakefile", line 3:\n'
        "Job 1  completed successfully, but some output files are missing. "
        "Missing files after 5 seconds.\nout-a.txt (missing locally)"
    )
    said = Said("ERROR", missing, "MissingOutputException")
    screen = screen_of(tmp_path, errors=[said], failures=())
    assert "out-a.txt" in screen
    assert "promises" in screen
    assert "At least one job" not in screen


def test_an_unexpected_error_of_the_engine_is_its_last_exception(tmp_path):
    chain = (
        "Traceback (most recent call last):\n\n"
        '  File "cli.py", line 2316, in args_to_api\n    dag_api.execute_workflow(\n\n'
        "KeyError: 1\n\nDuring handling of the above exception, another exception occurred:\n\n"
        'Traceback (most recent call last):\n\n  File "dag.py", line 9, in process\n\n'
        "OSError: two\nlines"
    )
    screen = explanation(tmp_path, [], [Said("ERROR", chain, "OSError")], [])
    assert screen == "OSError: two\nlines"


def test_a_word_of_the_engine_that_we_do_not_know_is_shown(tmp_path):
    assert "  ValueError: odd" in screen_of(
        tmp_path, "mend it\n", [Said("ERROR", "Error:\n  ValueError: odd", "NewException")]
    )


def test_faults_of_the_settings_are_told_in_their_own_words_only(tmp_path):
    words = 'WorkflowError in file "Snakefile", line 32:\nstudy.yaml, line 3: mend it\n'
    calls = '  File "Snakefile", line 32, in <module>'
    screen = explanation(tmp_path, [], [Said("ERROR", words + calls, "WorkflowError")], [])
    assert screen == "study.yaml, line 3: mend it"


def test_an_option_that_the_engine_does_not_know_is_told_without_all_that_it_knows(tmp_path):
    usage = ["usage: __main__.py [-h]", *["    [--option VALUE]"] * 98]
    usage += ["__main__.py: error: unrecognized arguments: --odd"]
    screen = explanation(tmp_path, [], [], usage)
    assert screen.splitlines()[0] == "unrecognized arguments: --odd"
    assert "--help" in screen


def test_a_run_that_is_stopped_from_outside_ends_with_the_engines_last_words(tmp_path):
    notes = ["Building DAG of jobs...", "Will exit after finishing currently running jobs."]
    screen = explanation(tmp_path, [], AFTERWARDS, [], notes)
    assert "Will exit after finishing currently running jobs." in screen
    assert "At least one job did not complete successfully." in screen


def test_an_engine_that_dies_without_a_word_is_said_to(tmp_path):
    assert "without saying why" in explanation(tmp_path, [], [], [], [])


# The engine itself, on the smallest rule files that go wrong in one way each.

ALL = 'rule all:\n    input: "out-a.txt"\n'
MAKE = ALL + (
    'rule make:\n    output: "out-{x}.txt"\n    log: "logs/make/{x}.log"\n    script: "make.py"\n'
)
PROFILE = str(ROOT / "workflow" / "profiles" / "default")
INTO_ITSELF = 'input: "in.txt"\n    output: update("out-{x}.txt")'
STEP = "import sys\nsys.path.insert(0, {scripts!r})\n{top}\ndef main(**names):\n    {body}\n"
CALL = "from felloe.step import run_step\nrun_step(main)\n"
QUOTED = "\nimport shlex, sys\nsys.executable = shlex.quote(sys.executable)\n"


@pytest.fixture
def run(tmp_path, capsys):
    """Run the engine as the launcher does; return its exit status and everything that was shown."""

    def running(snakefile, body="pass", top=""):
        quoted = QUOTED if " " in sys.executable else ""  # as in the project's own Snakefile
        (tmp_path / "Snakefile").write_text(snakefile + quoted, encoding="utf-8")
        step = STEP.format(scripts=str(ROOT / "scripts"), body=body, top=top)
        (tmp_path / "make.py").write_text(step + CALL, encoding="utf-8")
        command = [sys.executable, "-m", "snakemake", "--cores", "1", "--workflow-profile", PROFILE]
        engine = Engine(Path(sys.executable), tmp_path, [], environment_variables(ROOT))
        status = watched(engine, command)
        captured = capsys.readouterr()
        assert "Traceback" not in captured.out + captured.err
        assert len(captured.err.splitlines()) <= LINES_OF_A_SCREEN
        return status, captured.out, captured.err

    return running


def test_an_exception_in_a_function_of_a_rule_is_told_with_its_place(run):
    function = 'input: lambda w: {}["odd"]'
    status, _, said = run(f'{ALL}rule make:\n    output: "out-{{x}}.txt"\n    {function}\n')
    assert status == 1
    assert "KeyError: 'odd'" in said
    assert "in rule make" in said
    assert "line 3" in said
    assert "fault of the rules" in said


def test_a_missing_input_is_told_with_what_to_do(run):
    status, _, said = run(f'{ALL}rule make:\n    input: "not/there.csv"\n    output: "out-a.txt"\n')
    assert status == 1
    assert "not/there.csv" in said
    assert "Put the missing files there" in said


def test_a_syntax_error_in_a_rule_file_is_told_with_its_line(run):
    status, _, said = run(f'{ALL}rule make:\n    output "out-a.txt"\n')
    assert status == 1
    assert 'Snakefile", line 3' in said
    assert "Colon expected" in said
    assert "Mend that place" in said


def test_a_locked_folder_is_told_with_what_to_do(run, tmp_path):
    locks = tmp_path / ".snakemake" / "locks"
    locks.mkdir(parents=True)
    (locks / "0.output.lock").write_text("out-a.txt\n", encoding="utf-8")
    status, _, said = run(MAKE)
    assert status == 1
    assert said.startswith(LOCKED.partition("{")[0])
    assert "scripts/run --unlock --directory" in said


def test_a_fault_of_the_study_in_a_step_is_told_in_its_own_words(run):
    status, _, said = run(
        MAKE, "raise StudyError('mend it')", "from felloe.errors import StudyError"
    )
    assert (status, said) == (1, "make failed:\nmend it\nLog: logs/make/a.log\n")


def test_earlier_results_that_are_put_back_are_counted_and_not_listed(run, tmp_path):
    (tmp_path / "out-a.txt").write_text("earlier", encoding="utf-8")
    os.utime(tmp_path / "out-a.txt", (1e9, 1e9))  # older than its input, so that it is made again
    (tmp_path / "in.txt").write_text("later", encoding="utf-8")
    updating = MAKE.replace('output: "out-{x}.txt"', INTO_ITSELF)
    status, _, said = run(updating, "sys.exit(1)")
    assert status == 1
    assert said.splitlines()[-1] == "Earlier results of this step stay as they were; files: 1."
    assert (tmp_path / "out-a.txt").read_text(encoding="utf-8") == "earlier"


def test_a_python_exception_in_a_step_is_told_in_a_line(run):
    status, _, said = run(MAKE, "raise ValueError('odd')")
    assert (status, said) == (1, "make failed:\nmake: ValueError: odd\nLog: logs/make/a.log\n")


def test_a_step_that_cannot_be_loaded_is_told_and_the_traceback_kept_in_a_file(run, tmp_path):
    status, _, said = run(MAKE, top="import nothing_of_this_name")
    assert status == 1
    assert "No module named 'nothing_of_this_name'" in said
    assert "Traceback" in (tmp_path / ".snakemake" / "felloe.log").read_text(encoding="utf-8")
    assert "felloe.log" in said.splitlines()[-1]


def test_a_killed_step_is_told_with_what_to_do(run):
    number = int(signal.SIGKILL)
    status, _, said = run(MAKE, f"import os; os.kill(os.getpid(), {number})")
    assert status == 1
    assert "make failed:" in said
    assert ENDED in said
    assert "SIGKILL" in said
    assert "--cores 1" in said


def test_words_of_a_library_in_a_run_that_goes_well_are_shown(run):
    _, _, said = run(MAKE, "open('out-a.txt', 'w')", "sys.stderr.write('odd warning')")
    assert said == "odd warning\n"


def test_a_run_that_goes_well_says_so_and_nothing_else(run):
    status, printed, said = run(MAKE, "open('out-a.txt', 'w')")
    assert (status, said) == (0, "")
    assert printed.splitlines()[:2] == ["[1/2] make a", "[2/2] all"]
