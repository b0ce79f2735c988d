"""One stage on one study, in a process of its own with limits on time and memory."""

import multiprocessing
import resource
import signal
from dataclasses import dataclass
from time import process_time

SECONDS, GIGABYTES = 60, 4
ENOUGH = 0.4  # seconds; what is shorter is done again, since the clock may tick by hundredths
TIME, MEMORY, FAILED = "over {} s of a processor", "over {} GB of memory", "failed"


@dataclass(frozen=True)
class Cell:
    """
    What one stage took on one study.

    Attributes
    ----------
    stage, axis : str
    terms, people : int
    seconds : float
        Of the processor; nan if it was not ended.
    megabytes : float
        Most memory of the process, that of the study included; nan if it was not ended.
    stopped : str
        Why it was not ended, or not begun; else empty.
    """

    stage: str
    axis: str
    terms: int
    people: int
    seconds: float = float("nan")
    megabytes: float = float("nan")
    stopped: str = ""


def limited(work, seconds=SECONDS, gigabytes=GIGABYTES):
    """
    Return what a function gives in a child process, and why there is nothing otherwise.

    Parameters
    ----------
    work : callable
        Returns something that can be sent.
    seconds : int
        Of the child's processor.
    gigabytes : float
        Of its address space.
    """
    context = multiprocessing.get_context("fork")
    mine, theirs = context.Pipe(duplex=False)
    child = context.Process(target=in_child, args=(work, theirs, seconds, gigabytes))
    child.start()
    theirs.close()
    try:
        found, stopped = mine.recv()
    except EOFError:
        found, stopped = None, FAILED
    child.join()
    if child.exitcode in (-signal.SIGXCPU, -signal.SIGKILL):
        stopped = TIME.format(seconds)
    return found, stopped


def in_child(work, answer, seconds, gigabytes):
    """Do the work under limits and send what came of it."""
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 5))
    resource.setrlimit(resource.RLIMIT_AS, (int(gigabytes * 2**30),) * 2)
    try:
        answer.send((work(), ""))
    except MemoryError:
        answer.send((None, MEMORY.format(gigabytes)))
    except Exception as error:
        answer.send((None, f"{FAILED}: {error}"))


def timed(stage, study):
    """Return the seconds of a stage, the mean of many where it is short, and its memory."""
    work = stage.prepared(study)
    started, turns, spent = process_time(), 0, 0.0
    while spent < ENOUGH:
        work()
        turns, spent = turns + 1, process_time() - started
    return spent / turns, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def measured_cell(stage, axis, study, seconds=SECONDS, gigabytes=GIGABYTES):
    """Measure a stage on a study within limits."""
    found, stopped = limited(lambda: timed(stage, study), seconds, gigabytes)
    where = stage.name, axis, study.n_terms, study.n_people
    return Cell(*where, stopped=stopped) if found is None else Cell(*where, *found)
