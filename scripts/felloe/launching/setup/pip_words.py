"""Why pip could not install the packages: its own reason, and what to do about it."""

import re

LINES = 12  # of pip's words at most
HASHES = "DO NOT MATCH THE HASHES"
UNREACHED = re.compile(r"after connection broken by '\w+\(.*?[:>)] ?([^:>]+(?:: [^:]+)?)'\)?': ")
OUTPUT = re.compile(r"╰─> \[.*lines? of output\]\n(.*?)\n\s*\[end of output\]", re.S)
PASSING_ON = ("See above for ", "subprocess-exited-with-error")
ADVICE = {
    "hash": "A package is not the one that requirements.lock names, so nothing was installed. "
    "Does a proxy or an index of your own serve other files? If not, report it.",
    "network": "No package could be fetched. Is there a network? "
    "If it needs a proxy or an index of its own, set it for pip: python3 -m pip config --help",
    "version": "The index that pip asks has not got this version for this Python and system. "
    "Try another Python (3.11 or newer), or another index.",
    "disk": "The disk is full. Make room.",
    "build": "This package had to be built here, which failed. "
    "Its words above say what is missing; or try another Python (3.11 or newer).",
    "": "",
}


def reason_of(text: str) -> str:
    """
    Return why pip failed.

    Parameters
    ----------
    text : str
        All that it printed.

    Returns
    -------
    str
        Some lines of pip, then what to do.
    """
    kind, lines = kind_and_lines(text)
    return "\n".join([*lines[:LINES], *filter(None, [ADVICE[kind]])])


def kind_and_lines(text: str) -> tuple[str, list[str]]:
    """Return which failure it is, and the lines that tell it."""
    if HASHES in text:
        told = text.partition(HASHES)[2].split("\n\n")[0].splitlines()[1:]
        return "hash", ["Hashes do not match:", *(line.rstrip() for line in told)]
    errors = [line.rstrip() for line in text.splitlines() if is_error(line)]
    if "No space left on device" in text:
        return "disk", [line for line in errors if "No space left" in line] or errors
    if built := OUTPUT.search(text):
        return "build", [*errors, *(line.rstrip() for line in built[1].splitlines()[-6:])]
    if "No matching distribution" in text:
        unreached = UNREACHED.findall(text)
        if unreached or "from versions: none" in text:
            return "network", [*dict.fromkeys(each.strip() for each in unreached), *errors]
        return "version", errors
    return "", errors or [line for line in text.splitlines() if line.strip()][-6:]


def is_error(line: str) -> bool:
    """Tell whether pip calls a line an error."""
    called = line.strip().startswith(("ERROR:", "error:", "×"))
    return called and not any(words in line for words in PASSING_ON)
