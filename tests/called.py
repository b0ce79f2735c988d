"""Commands called as from a user's shell: without the path on which tests find their modules."""

import os
import subprocess
import sys


def called(*command, cwd, timeout):
    """Call Python with these words; return what was said and the exit status."""
    variables = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    return subprocess.run(
        [sys.executable, *map(str, command)],
        cwd=cwd,
        env=variables,
        capture_output=True,
        text=True,
        timeout=timeout,
    )
