"""A run that is told to end does end, with everything that it started, and soon."""

import os
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest
from felloe.launching.engine import interrupts, parent
from felloe.launching.engine.interrupts import Stopped, attended, heeded, members

PYTHON = [sys.executable, "-c"]
SCRIPTS = Path(parent.__file__).parents[3]
FILLING = "while True: print('x' * 1000)\n"  # a pipe holds some 65,000 characters
DEAF = "import signal\nfor s in (2, 15, 1): signal.signal(s, signal.SIG_IGN)\n"


@pytest.fixture(autouse=True)
def stuck():
    """End the tests with a failure where they would hang."""

    def kill():
        for pid, _ in children():
            os.kill(pid, signal.SIGKILL)

    timer = threading.Timer(60, kill)
    timer.start()
    yield
    timer.cancel()


def children():
    """Return our child processes, each with us."""
    listed = subprocess.run(["ps", "-eo", "pid=,ppid="], capture_output=True, text=True).stdout
    pairs = [tuple(map(int, line.split())) for line in listed.splitlines()]
    return [pair for pair in pairs if pair[1] == os.getpid()]


def is_gone(session):
    """Tell whether nobody is left in a session, or will be in a moment."""
    until = time.monotonic() + 20
    while list(members(session)) and time.monotonic() < until:
        time.sleep(0.05)
    return not list(members(session))


def signalled(number, times=1):
    """Return a taker of lines that sends the launcher a signal, or several, at the first one."""
    lines = []

    def take(line):
        lines.append(line)
        if len(lines) == 1:
            for _ in range(times):
                os.kill(os.getpid(), number)
                time.sleep(0.05)  # signals that wait to be handled become one

    take.lines = lines
    return take


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_a_signal_to_the_launcher_alone_ends_what_it_runs(number):
    with pytest.raises(Stopped) as stopped:
        attended([*PYTHON, FILLING], signalled(number))
    assert (stopped.value.number, stopped.value.killed) == (number, False)
    assert signal.Signals(number).name in str(stopped.value)


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_a_signal_that_comes_twice_at_once_is_one(number):
    # `timeout` signals its child and then its own group; two shells may do the same
    program = "import sys, time\ntry:\n    print('begun', flush=True)\n    time.sleep(60)\n"
    program += "except KeyboardInterrupt:\n    time.sleep(.5)\n    print('cleared', flush=True)\n"
    take = signalled(number, times=2)
    with pytest.raises(Stopped) as stopped:
        attended([*PYTHON, program], take)
    assert not stopped.value.killed
    assert take.lines[-1] == "cleared\n"


def test_the_pipe_is_read_to_its_end_after_a_signal():
    # more than a pipe holds: the process can end only if somebody reads
    program = "print('begun', flush=True)\nimport time\ntry:\n    time.sleep(60)\n"
    program += "except KeyboardInterrupt:\n    for _ in range(5000): print('x' * 100)\n"
    take = signalled(signal.SIGINT)
    with pytest.raises(Stopped) as stopped:
        attended([*PYTHON, program], take)
    assert not stopped.value.killed
    assert len(take.lines) == 5001


def test_what_does_not_end_in_time_is_killed():
    with pytest.raises(Stopped) as stopped:
        attended([*PYTHON, DEAF + FILLING], signalled(signal.SIGTERM), patience=0.5)
    assert stopped.value.killed
    assert "killed" in str(stopped.value)


def test_a_second_signal_after_a_while_shortens_the_patience(monkeypatch):
    monkeypatch.setattr(interrupts, "AGAIN", 0.0)
    with pytest.raises(Stopped) as stopped:
        attended([*PYTHON, DEAF + FILLING], signalled(signal.SIGINT, times=2), patience=50)
    assert stopped.value.killed


@pytest.mark.skipif(not os.path.isdir("/proc/self"), reason="only /proc lists a session")
@pytest.mark.parametrize("own_group", [False, True])
def test_children_of_a_job_end_too(own_group):
    # a job's child that heeds nothing, in the engine's group or in one of its own
    child = f"import os, time\nif {own_group}: os.setpgid(0, 0)\n{DEAF}\n"
    child += "print(os.getsid(0), flush=True)\ntime.sleep(60)"
    program = f"import subprocess, sys, time\nsubprocess.Popen([sys.executable, '-c', {child!r}])\n"
    take = signalled(signal.SIGTERM)
    with pytest.raises(Stopped):
        attended([*PYTHON, program + "time.sleep(60)"], take, patience=5)
    assert is_gone(int(take.lines[0]))


def test_jobs_of_an_engine_that_was_killed_are_not_waited_for():
    job = "import time; print('begun', flush=True); time.sleep(60)"
    program = f"import os, subprocess, sys\np = subprocess.Popen([sys.executable, '-c', {job!r}])\n"
    lines = []
    status = attended(
        [*PYTHON, program + "import time; time.sleep(1); os.kill(os.getpid(), 9)"], lines.append
    )
    assert (status, lines) == (-signal.SIGKILL, ["begun\n"])


def test_signals_that_were_ignored_before_reach_what_is_run():
    # a shell without job control starts `scripts/run &` deaf for INT, and children inherit that
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        with pytest.raises(Stopped) as stopped:
            attended([*PYTHON, FILLING], signalled(signal.SIGTERM))
        assert signal.getsignal(signal.SIGINT) == signal.SIG_IGN
    finally:
        signal.signal(signal.SIGINT, before)
    assert not stopped.value.killed


def test_a_hangup_that_nohup_ignores_stays_ignored():
    before = signal.signal(signal.SIGHUP, signal.SIG_IGN)
    try:
        assert attended([*PYTHON, "print(1)"], signalled(signal.SIGHUP)) == 0
    finally:
        signal.signal(signal.SIGHUP, before)


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_a_signal_before_the_run_ends_what_is_prepared(number):
    def signalling(process):
        process.stdout.readline()
        os.kill(os.getpid(), number)
        process.wait()

    program = "import time; print('begun', flush=True); time.sleep(50)"
    with heeded(), subprocess.Popen([*PYTHON, program], stdout=subprocess.PIPE) as process:
        with pytest.raises(Stopped) as stopped:
            signalling(process)
        process.kill()
    assert stopped.value.number == number


def test_a_reader_that_goes_away_ends_the_run_as_gently(monkeypatch):
    def take(line):
        raise BrokenPipeError

    monkeypatch.setattr(interrupts, "AGAIN", 0.2)
    program = "import time\ntry:\n    print('begun', flush=True)\n    time.sleep(60)\n"
    program += "except KeyboardInterrupt:\n    time.sleep(1)\n"
    with pytest.raises(Stopped) as stopped:
        attended([*PYTHON, program], take)
    assert (stopped.value.number, stopped.value.killed) == (signal.SIGPIPE, False)


def test_a_fault_of_our_own_ends_the_run_and_is_not_lost():
    def take(line):
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        attended([*PYTHON, FILLING], take)


def test_what_shares_the_terminal_is_interrupted_once():
    # Ctrl-C has reached it already; it may take a moment to end
    program = "import os, signal, sys, time\nfrom pathlib import Path\nseen = []\n"
    program += "signal.signal(2, lambda *_: seen.append(1))\nos.kill(os.getppid(), 2)\n"
    program += "os.kill(os.getpid(), 2)\ntime.sleep(.3)\nsys.exit(len(seen))"
    with pytest.raises(Stopped):
        attended([*PYTHON, program])
    # exit status is not told of a stopped run: ask the process itself
    told = interrupts.Told()
    with interrupts.handled({signal.SIGINT: told.note}):
        process = subprocess.Popen([*PYTHON, program])
        status = interrupts.ended(process, told, interrupts.Reader(process), 20)
    assert (status, told.number) == (1, signal.SIGINT)


def state_of(pid):
    """Return the letter for what a process does: T is stopped, S is asleep."""
    return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0]


def comes(condition):
    until = time.monotonic() + 20
    while not condition() and time.monotonic() < until:
        time.sleep(0.02)
    return condition()


@pytest.mark.skipif(not os.path.isdir("/proc/self"), reason="only /proc tells who is stopped")
def test_ctrl_z_stops_the_steps_too_and_they_go_on_with_the_launcher():
    engine = "import os, sys; print(os.getpid(), flush=True); sys.stdin.read()"
    engine += "; import time; time.sleep(60)"
    launcher = f"import sys\nsys.path.insert(0, {str(SCRIPTS)!r})\n"
    launcher += "from felloe.launching.engine.interrupts import Stopped, attended\ntry:\n"
    launcher += f"    attended([sys.executable, '-c', {engine!r}],\n"
    launcher += "        lambda line: print(line, flush=True))\n"
    launcher += "except Stopped as stopped:\n    sys.exit(stopped.number)\n"
    with subprocess.Popen([*PYTHON, launcher], stdout=subprocess.PIPE, text=True) as process:
        pid = int(process.stdout.readline())
        process.send_signal(signal.SIGTSTP)
        assert comes(lambda: state_of(process.pid) == "T")
        assert comes(lambda: state_of(pid) == "T")
        process.send_signal(signal.SIGCONT)
        assert comes(lambda: state_of(pid) == "S")
        process.send_signal(signal.SIGTERM)
        assert process.wait(timeout=30) == signal.SIGTERM


def test_an_engine_ends_when_its_launcher_is_gone(tmp_path):
    # launcher, engine, job; the launcher dies and the others are looked for
    job = "import time; time.sleep(60)"
    engine = f"import sys, time, subprocess\nsys.path.insert(0, {str(SCRIPTS)!r})\n"
    engine += "from felloe.launching.engine.parent import end_with_parent\nend_with_parent()\n"
    engine += f"subprocess.Popen([sys.executable, '-c', {job!r}])\n"
    engine += "print('begun', flush=True)\ntime.sleep(60)"
    launcher = "import os, subprocess, sys\n"
    launcher += f"variables = {{**os.environ, {parent.VARIABLE!r}: str(os.getpid())}}\n"
    launcher += f"p = subprocess.Popen([sys.executable, '-c', {engine!r}], env=variables,\n"
    launcher += "    start_new_session=True, stdout=subprocess.PIPE)\n"
    launcher += "p.stdout.readline()\nprint(p.pid, flush=True)\nos.kill(os.getpid(), 9)"
    done = subprocess.run([*PYTHON, launcher], capture_output=True, text=True, timeout=60)
    assert is_gone(int(done.stdout))
