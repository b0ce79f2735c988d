"""A working folder from which people were left out: what can be made anew there."""

import json
from pathlib import Path

from felloe.launching import arguments
from felloe.launching.setup.environment import LaunchError

MARKER = "WITHOUT-PEOPLE.json"  # written into an archive without people
SAID = (
    "This folder is from an archive without people: what reads only counts is made anew, the rest "
    "stands as it was (HOW-TO-RERUN.txt)."
)

Plan = dict[str, list[str]]


def plan_of(folder: Path) -> Plan | None:
    """
    Return the rules that can be run and what they make; None where nobody was left out.

    Raises
    ------
    LaunchError
        If the marker is not as it was written.
    """
    try:
        text = (folder / MARKER).read_text(encoding="utf-8")
    except FileNotFoundError:
        return None
    except (OSError, UnicodeDecodeError):
        text = ""
    try:
        plan: Plan = json.loads(text)
        return {"rules": list(plan["rules"]), "targets": list(plan["targets"])}
    except (ValueError, KeyError, TypeError):
        raise LaunchError(
            f"{MARKER} cannot be read. Unpack the archive anew; where the people's files are here, "
            "remove it."
        ) from None


def words(plan: Plan, rest: list[str]) -> list[str]:
    """
    Return the words with which Snakemake runs what can be run, and nothing else.

    Parameters
    ----------
    plan : dict
        As `plan_of` returns it.
    rest : list of str
        What was typed, targets first.
    """
    targets = arguments.targets_of(rest)
    studies = dict.fromkeys(target.split("/")[1] for target in plan["targets"])
    # a rule that is made for each study is called by the study too
    rules = [name for rule in plan["rules"] for name in (rule, *(f"{rule}_{s}" for s in studies))]
    options = rest[len(targets) :]
    return [
        *(targets or plan["targets"]), *options, "--allowed-rules", *rules, "--forceall",
        *arguments.BY_CONTENT,
    ]  # fmt: skip
