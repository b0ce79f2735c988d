"""What a quick look at results found, in words."""

from collections.abc import Mapping, Sequence

from felloe.audit import quick
from felloe.audit.quick import Finding
from felloe.errors import SCREEN_LINES, shortened

MOST = 8  # lines of one kind
HASH = 12  # digits of a hash that are shown
LONGEST_NAME = 100  # characters of a path
HEADS = {
    quick.NO_MANIFEST: "There is no manifest that can be read",
    quick.FILE: "Changed since the manifest was written",
    quick.LOST: "Missing",
    quick.MORE: "In the folder and not in the manifest",
    quick.INPUT: "Of the study's own files, other than they were",
    quick.SETTING: "Settings that are others now",
    quick.PROJECT: "The project is another now",
    quick.PACKAGE: "Packages that are others here",
    quick.OTHER: "Results of other studies, other than they were read",
    quick.SUMS: "Does not say what the manifest says",
    quick.LEDGER: "Not what the ledger says",
}
HASHED = {quick.FILE, quick.INPUT, quick.PROJECT, quick.OTHER, quick.LEDGER}


def screen_of_quick(found: Mapping[str, Sequence[Finding]]) -> str:
    """
    Say on one screen whether everything is as the manifests say, and what is not.

    Parameters
    ----------
    found : mapping of str to sequence of Finding
        By the name of the study or of the pair of editions.
    """
    lines = []
    for name, findings in found.items():
        if not findings:
            lines.append(f"{name}: as its manifest says.")
            continue
        lines.append(f"{name}: NOT as its manifest says.")
        for code, head in HEADS.items():
            of_code = [finding for finding in findings if finding.code == code]
            lines += lines_of(head, of_code) if of_code else []
    bad = sum(bool(findings) for findings in found.values())
    number = f"{len(found)} {'folder' if len(found) == 1 else 'folders'} of results"
    head = f"Not the same: {bad} of {number}." if bad else f"The same: {number}."
    if len(lines) >= SCREEN_LINES:
        lines = [*lines[: SCREEN_LINES - 2], "... and more."]
    return "\n".join([head, *lines])


def lines_of(head: str, findings: Sequence[Finding]) -> list[str]:
    """Return the lines about findings of one kind."""
    shown = [f"    {line_of(finding)}" for finding in findings[:MOST]]
    more = len(findings) - len(shown)
    return [f"  {head}:", *shown, *([f"    ... and {more} more"] if more > 0 else [])]


def line_of(finding: Finding) -> str:
    """Return one finding."""
    was, now = (shown(finding.code, value) for value in (finding.was, finding.now))
    name = shortened(finding.name, LONGEST_NAME)
    if not was and not now:
        return name
    return f"{name}: {was or 'not there'} -> {now or 'not there'}"


def shown(code: str, value: str) -> str:
    """Return a value at the length of a line."""
    return shortened(value[:HASH] if code in HASHED and len(value) == 64 else value)
