"""A set-up that fails shows pip's reason and what to do."""

import pytest
from felloe.launching.setup.pip_words import LINES, reason_of

# What pip 23 prints, recorded from requirements that fail in one way each.
BEGINNING = "Looking in indexes: ./index\nCollecting numpy==2.4.6\n"
HASH = (
    BEGINNING
    + """  Downloading toposort-1.10-py3-none-any.whl (8.5 kB)
ERROR: THESE PACKAGES DO NOT MATCH THE HASHES FROM THE REQUIREMENTS FILE. If you have updated the \
package versions, please update the hashes. Otherwise, examine the package contents carefully; \
someone may have tampered with them.
    toposort==1.10 from ./index/toposort-1.10-py3-none-any.whl (from \
-r r2.txt (line 1)):
        Expected sha256 aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa
             Got        cbdbc0d0bee4d2695ab2ceec97fe0679e9c10eab4b2a87a9372b929e70563a87

"""
)
REFUSED = (
    BEGINNING
    + """WARNING: Retrying (Retry(total=1, connect=None, read=None, redirect=None, status=None)) \
after connection broken by 'NewConnectionError('<pip._vendor.urllib3.connection.HTTPConnection \
object at 0x7f3278242210>: Failed to establish a new connection: [Errno 111] Connection refused')'\
: \
/simple/toposort/
WARNING: Retrying (Retry(total=0, connect=None, read=None, redirect=None, status=None)) \
after connection broken by 'NewConnectionError('<pip._vendor.urllib3.connection.HTTPConnection \
object at 0x7f3278249999>: Failed to establish a new connection: [Errno 111] Connection refused')'\
: \
/simple/toposort/
ERROR: Could not find a version that satisfies the requirement toposort==1.10 (from versions: none)
ERROR: No matching distribution found for toposort==1.10
"""
)
NO_HOST = (
    BEGINNING
    + """ERROR: Could not find a version that satisfies the requirement toposort==1.10 \
(from versions: none)
ERROR: No matching distribution found for toposort==1.10
"""
)
NO_VERSION = (
    BEGINNING
    + """ERROR: Could not find a version that satisfies the requirement toposort==99.10 \
(from versions: 0.1, 0.2, 1.0, 1.10)
ERROR: No matching distribution found for toposort==99.10
"""
)
NO_BUILD = (
    BEGINNING
    + """Processing ./idx/bad-1.0.tar.gz (from -r r5.txt (line 1))
  Preparing metadata (pyproject.toml): started
  Preparing metadata (pyproject.toml): finished with status 'error'
  error: subprocess-exited-with-error
  
  × Preparing metadata (pyproject.toml) did not run successfully.
  │ exit code: 1
  ╰─> [1 lines of output]
      compiler missing
      [end of output]
  
  note: This error originates from a subprocess, and is likely not a problem with pip.
error: metadata-generation-failed

× Encountered error while generating package metadata.
╰─> See above for output.

note: This is an issue with the package mentioned above, not pip.
hint: See above for details.
"""  # noqa: W293 (as pip prints it)
)
FULL = (
    BEGINNING
    + "ERROR: Could not install packages due to an OSError: [Errno 28] No space left on device\n\n"
)
ODD = BEGINNING + "ERROR: Could not install packages due to an OSError: No adapters for 'x://y'\n\n"
NEW = BEGINNING + "something that no pip has said yet\n"


@pytest.mark.parametrize(
    ("text", "told", "advice"),
    [
        (HASH, "toposort==1.10 from", "not the one that requirements.lock names"),
        (HASH, "Got        cbdbc0d0", "proxy"),
        (REFUSED, "[Errno 111] Connection refused", "Is there a network?"),
        (NO_HOST, "No matching distribution found for toposort==1.10", "Is there a network?"),
        (NO_VERSION, "from versions: 0.1, 0.2, 1.0, 1.10", "Try another Python"),
        (NO_BUILD, "compiler missing", "had to be built here"),
        (FULL, "No space left on device", "Make room"),
        (ODD, "No adapters for 'x://y'", ""),
        (NEW, "no pip has said yet", ""),
    ],
    ids=["hash", "hash found", "refused", "no host", "version", "build", "disk", "odd", "new"],
)
def test_pips_reason_is_told_with_what_to_do(text, told, advice):
    reason = reason_of(text)
    assert told in reason
    assert advice in reason
    assert "Retrying" not in reason
    assert len(reason.splitlines()) <= LINES + 1


def test_a_missing_version_is_not_laid_to_the_network():
    assert "network" not in reason_of(NO_VERSION)


def test_a_connection_that_fails_again_and_again_is_told_once():
    assert reason_of(REFUSED).count("Connection refused") == 1
