"""How an archive is made to results again, in words."""

import platform
import shlex
import textwrap
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from felloe.archiving.withheld import Rebuilding

if TYPE_CHECKING:
    from felloe.archiving.contents import Request

WIDTH = 100
NO_LICENSE = "no licence was stated"
IN_PARTS = (
    "Sorts in parts: who was shown what is left out too, but where few people saw each pair of "
    "terms whole sorts can be worked out from the counts, though not whose they are. Hand this "
    "archive to one auditor, as carefully as one with people."
)
BECAUSE = 3  # files that are named as the reason why a step cannot be run


def how_to(
    request: "Request",
    about: Mapping[str, Mapping[str, Any]],
    work: str,
    plan: Rebuilding | None,
    left_empty: Sequence[str],
) -> str:
    """
    Return the text of `HOW-TO-RERUN.txt`.

    Parameters
    ----------
    request : Request
    about : dict
        Each study's `validation/study.json`.
    work : str
        The folder in the archive to run in.
    plan : Rebuilding or None
        What can be made anew; None where people are in the archive.
    left_empty : sequence of str
        Files whose names alone are in the archive.
    """
    told = [commands(request, work), contents(about, plan is None)]
    if plan is None:
        told.append(with_people(left_empty))
    else:
        told += [made_anew(plan), not_made_anew(plan)]
        if any("partial" in record for record in about.values()):
            told.append(wrapped(IN_PARTS))
    told.append(machine(request))
    return "\n\n".join(told) + "\n"


def commands(request: "Request", work: str) -> str:
    """Return the three lines."""
    removed = f"rm -r {shlex.quote(f'{work}/results'.removeprefix('./'))} && "
    run = f"python3 scripts/run --configfile settings.yaml --directory {work}"
    lines = [
        f"unzip -q {request.name}.zip && cd {request.name}",
        f"{removed if request.people else ''}{run}",
        "sha256sum --check --quiet SHA256SUMS",
    ]
    return "\n".join(lines)


def contents(about: Mapping[str, Mapping[str, Any]], people: bool) -> str:
    """Return what is in the archive."""
    lines = ["In this archive:"]
    for study, record in about.items():
        license = record.get("license") or NO_LICENSE
        lines.append(f"- {study}: {record['title']}, edition {record['edition']}; {license}")
    lines.append(
        "- the files that the run read, settings.yaml, the code with the lock of its packages, "
        "all results with their"
        if people
        else "- what the run read of words and decisions, settings.yaml, the code with the lock of "
        "its packages, the results that tell of nobody alone with their"
    )
    lines[-1] += " manifests and ledger; ro-crate-metadata.json describes it for other programs."
    return "\n".join(wrapped(line, "  ") for line in lines)


def with_people(left_empty: Sequence[str]) -> str:
    """Return what somebody has to know who gets the people's data too."""
    text = (
        "The second line makes every result anew from the sorts; the third holds each file against "
        "the one that was archived, and says nothing where all are the same. The sorts in here are "
        "of people: pass them on only as far as their consent goes."
    )
    if left_empty:
        text += (
            " No step reads these files, and they were not passed on; empty ones stand for their "
            f"names, which the findings mention: {', '.join(left_empty)}."
        )
    return wrapped(text)


def made_anew(plan: Rebuilding) -> str:
    """Return what the second line does without people."""
    text = (
        "People are left out: sorts, participants, who picked which colour, and every table that "
        "tells of one of them. The counts are here (results/*/matrices). The second line makes "
        "anew, from the counts and from kept results, what reads nothing of people; the third "
        "holds every file of the archive against the one that was archived. The manifests and the "
        "crates in results/ name what was left out too. These steps are made anew "
        "(WITHOUT-PEOPLE.json lists their files):"
    )
    return "\n".join([wrapped(text), *(f"- {rule}" for rule in plan.rules)])


def not_made_anew(plan: Rebuilding) -> str:
    """Return what cannot be made anew, each with what it lacks."""
    text = (
        "These cannot be made anew, and stand as they were written. They check and count people, "
        "choose colours among their picks, compare their populations (the dossier), redraw them "
        "(the bootstrap: supports of the tree, homes of terms, ellipses of the map, neighbours "
        "among the classes; sensitivity), or list or hash what is left out. Each with what it "
        "reads that is not here:"
    )
    lines = [wrapped(text)]
    for rule, missing in plan.missing.items():
        named = ", ".join(missing[:BECAUSE])
        more = len(missing) - BECAUSE
        lines.append(f"- {rule}: {named}{f' and {more} more' if more > 0 else ''}")
    return "\n".join(lines)


def machine(request: "Request") -> str:
    """Return what a machine needs for the same bytes."""
    made = request.kept[0].manifest["packages"].get("python", platform.python_version())
    return wrapped(
        f"Needed: Python {made}, and a network once for the packages in requirements.lock. With "
        "another Python the manifests differ in the version that they name, with another kind of "
        "processor numbers may differ in their last digits. What the results were made on "
        "(environment.json) tells of a machine and is not in the archive. Where sha256sum is "
        "missing: shasum -a 256 --check SHA256SUMS."
    )


def wrapped(text: str, hanging: str = "") -> str:
    """Return a paragraph in lines of a screen's width."""
    return "\n".join(
        textwrap.wrap(text, WIDTH, subsequent_indent=hanging, break_on_hyphens=False,
                      break_long_words=False)
    )  # fmt: skip
