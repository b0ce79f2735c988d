"""What the engine does when its launcher is gone: it ends too, with its jobs."""

import contextlib
import os
import signal
import threading
import time

VARIABLE = "FELLOE_LAUNCHER"  # the launcher's process, for the engine that it starts
LOOK = 0.5  # seconds between two looks
PATIENCE = 10.0  # seconds in which jobs can end by themselves


def end_with_parent() -> None:
    """
    Watch over the launcher, if there is one, from a thread.

    A launcher that was killed passes nothing on, and its engine would go on unseen.
    """
    parent = os.environ.pop(VARIABLE, "")
    # only at the head of a group of our own: nobody else is to be ended
    if parent.isdigit() and os.getpgrp() == os.getpid():
        threading.Thread(target=watch, args=(int(parent),), daemon=True).start()


def watch(parent: int) -> None:
    """Wait until the parent is gone, then end the group that we head."""
    while os.getppid() == parent:
        time.sleep(LOOK)
    for number in (signal.SIGINT, signal.SIGKILL):
        with contextlib.suppress(ProcessLookupError):
            os.killpg(os.getpgrp(), number)
        time.sleep(PATIENCE)
