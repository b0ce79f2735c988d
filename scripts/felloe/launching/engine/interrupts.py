"""Signals: a process that is started here ends when the launcher is told to end, and all of it."""

import contextlib
import os
import signal
import subprocess
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

PATIENCE = 20.0  # seconds in which jobs can end by themselves; then they are killed
AGAIN = 1.0  # seconds; what follows sooner is the same signal, sent to the group and to us
TICK = 0.1  # seconds between two looks at what was signalled
PASSED_ON = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)
LEFT_IGNORED = (signal.SIGHUP, signal.SIGTSTP)


class Stopped(BaseException):
    """
    The run was stopped from outside; no error, so no `except Exception` takes it for one.

    Attributes
    ----------
    number : int
        Of the signal.
    killed : bool
        Whether what ran had to be killed.
    """

    def __init__(self, number: int, killed: bool) -> None:
        super().__init__(number, killed)
        self.number = number
        self.killed = killed

    def __str__(self) -> str:
        """Return what happened, in a line."""
        by = signal.Signals(self.number).name
        how = "The step at work had to be killed. " if self.killed else ""
        return f"Stopped ({by}). {how}The same command goes on where it stopped."


@contextlib.contextmanager
def heeded() -> Iterator[None]:
    """Have a signal end what is done here as Ctrl-C does, by an exception; processes too end so."""

    def stop(number: int, frame: object) -> None:
        raise Stopped(number, killed=False)

    with handled(dict.fromkeys(PASSED_ON, stop)):
        yield


@contextlib.contextmanager
def handled(handlers: dict[signal.Signals, Callable[[int, Any], None]]) -> Iterator[None]:
    """Handle signals; a hangup that we were started to ignore (nohup) stays ignored."""
    before = {number: signal.getsignal(number) for number in handlers}
    for number, handler in handlers.items():
        if before[number] != signal.SIG_IGN or number not in LEFT_IGNORED:
            signal.signal(number, handler)
    try:
        yield
    finally:
        for number, earlier in before.items():
            signal.signal(number, signal.SIG_DFL if earlier is None else earlier)


def attended(
    command: list[str],
    take: Callable[[str], None] | None = None,
    *,
    patience: float = PATIENCE,
    **options: Any,
) -> int:
    """
    Run a command to its end, or to ours.

    With `take` the process is the head of a session of its own, so that a signal reaches it from
    here only, and its output is read to its very end: a process whose pipe nobody reads cannot end.
    Without, it shares our terminal, and what is typed there reaches it too.

    Parameters
    ----------
    command : list of str
    take : callable, optional
        Takes every line that the process prints.
    patience : float
        Seconds between a signal and the end by force.
    **options
        For `subprocess.Popen`.

    Returns
    -------
    int
        The process's exit status; negative if a signal ended it.

    Raises
    ------
    Stopped
        If we were told to end; then nothing of the process is left.
    """
    if take is not None:
        options.update(start_new_session=True, stdin=subprocess.DEVNULL)
        options.update(stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
        options.update(encoding="utf-8", errors="replace")
    told = Told()
    # a process that is started meanwhile heeds them too, also where ours was started deaf for one
    with handled({**dict.fromkeys(PASSED_ON, told.note), signal.SIGTSTP: told.pause}):
        process = subprocess.Popen(command, **options)
        told.session = process.pid if take is not None else 0
        reader = Reader(process, take)
        status = ended(process, told, reader, patience)
    reader.join(AGAIN)  # what left the session may hold the pipe for ever
    if reader.fault is not None and not isinstance(reader.fault, OSError):
        raise reader.fault
    if reader.fault is not None:
        told.note(signal.SIGPIPE)
    if told.number:
        raise Stopped(told.number, told.killed)
    return status


class Told:
    """
    What the launcher was told by signals.

    A handler notes the signal and nothing else: it may come while any lock is held.
    """

    def __init__(self) -> None:
        self.number = 0
        self.since = 0.0
        self.again = False
        self.killed = False
        self.session = 0

    def note(self, number: int, frame: object = None) -> None:
        """Take a signal that asks us to end."""
        if not self.number:
            self.number, self.since = number, time.monotonic()
        elif time.monotonic() - self.since > AGAIN:
            self.again = True

    def pause(self, number: int, frame: object) -> None:
        """Stop what runs along with us, as Ctrl-Z asks, and go on when we go on."""
        if self.session:
            signal_session(self.session, signal.SIGSTOP)
        os.kill(os.getpid(), signal.SIGSTOP)
        if self.session:
            signal_session(self.session, signal.SIGCONT)


class Reader(threading.Thread):
    """Reads what a process prints to the end; what goes wrong in taking it is kept."""

    def __init__(
        self, process: subprocess.Popen[str], take: Callable[[str], None] | None = None
    ) -> None:
        super().__init__(daemon=True)
        self.stream, self.take = process.stdout, take
        self.fault: BaseException | None = None
        self.start()

    def run(self) -> None:
        """Hand on line by line; after a fault read on, else the process could not end."""
        with self.stream or contextlib.nullcontext(()) as lines:
            for line in lines:
                self.hand_on(line)

    def hand_on(self, line: str) -> None:
        """Hand on one line, unless an earlier one could not be taken."""
        if self.take is not None and self.fault is None:
            try:
                self.take(line)
            except BaseException as fault:
                self.fault = fault


def ended(process: subprocess.Popen[str], told: Told, reader: Reader, patience: float) -> int:
    """Wait for the end of the process, bringing it about if we are told to; return its status."""
    passed_on = False
    while True:
        with contextlib.suppress(subprocess.TimeoutExpired):
            status = process.wait(TICK)
            break
        if (
            reader.fault is not None and not told.number
        ):  # nobody takes what is printed: the screen is gone
            told.note(signal.SIGPIPE)
        if not told.number:
            continue
        passed = time.monotonic() - told.since
        # Ctrl-C on a shared terminal has reached the process already
        if not passed_on and (told.session or told.number != signal.SIGINT or passed > AGAIN):
            interrupt(process, told)
            passed_on = True
        if told.again or passed > patience:
            told.killed = True
            kill(process, told)
    if told.session:
        signal_session(told.session, signal.SIGKILL)  # jobs that outlived the engine
    return status


def interrupt(process: subprocess.Popen[str], told: Told) -> None:
    """
    Ask the process and all that it started to end, by INT whichever signal we got.

    After TERM the engine may wait for ever, for a lock that its own thread holds.
    """
    if told.session:
        signal_session(told.session, signal.SIGINT)
    else:
        process.send_signal(signal.SIGINT)


def kill(process: subprocess.Popen[str], told: Told) -> None:
    """End the process and all that it started."""
    if told.session:
        signal_session(told.session, signal.SIGKILL)
    process.kill()


def signal_session(session: int, number: int) -> None:
    """Send a signal to the group at the head of a session and to what left the group."""
    strays = [pid for pid, group in members(session) if group != session]
    # gone already, or dead and not yet waited for
    with contextlib.suppress(ProcessLookupError, PermissionError):
        os.killpg(session, number)
    for pid in strays:
        with contextlib.suppress(ProcessLookupError, PermissionError):
            os.kill(pid, number)


def members(session: int) -> Iterator[tuple[int, int]]:
    """Yield process and group of who lives in a session, where the system lists them."""
    for place in Path("/proc").glob("[0-9]*/stat"):
        with contextlib.suppress(OSError, ValueError, IndexError):
            fields = place.read_text(encoding="utf-8", errors="replace").rpartition(")")[2].split()
            if int(fields[3]) == session and fields[0] != "Z":
                yield int(place.parent.name), int(fields[2])
