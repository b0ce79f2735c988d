"""What two folders of results compared amount to, in words."""

import json
import re
from collections.abc import Sequence

from felloe.audit.changes import (
    BAD_LEDGER,
    BAD_MANIFEST,
    CHANGED_LATER,
    CODE,
    INPUT,
    LOST,
    NO_FOLDER,
    NO_LEDGER,
    NO_MANIFEST,
    ONE_RUN,
    READ_OTHERWISE,
    SETTING,
    STUDY,
    SURROUNDINGS,
    UNRECORDED,
    VERSION,
    Change,
    Note,
    Trace,
)
from felloe.audit.comparison import Comparison
from felloe.audit.content_words import content, table
from felloe.audit.differences import (
    DIFFERS,
    EXTRA,
    MISSING,
    NOW,
    UNREADABLE,
    FileState,
)
from felloe.audit.phrases import ARROW, LONGEST, NOTHING, Sides, counted, listed
from felloe.errors import shortened

COLOUR = re.compile("#[0-9a-fA-F]{6}")
WORDS = re.compile("[^ ()]+")
STATES = {
    DIFFERS: "differs",
    MISSING: "only in {was}",
    EXTRA: "only in {now}",
    UNREADABLE: "cannot be read",
}
NOTES = {
    NO_FOLDER: "there is no such folder in {side}",
    NO_MANIFEST: "no manifest.json in {side}: settings, inputs and versions are not known",
    BAD_MANIFEST: "manifest.json cannot be read in {side}: settings and versions are not known",
    NO_LEDGER: "no ledger in {side} (older results): causes cannot be traced from file to file",
    BAD_LEDGER: "{detail} cannot be read in {side}: what that job read and made is not known",
}
LISTS = ("manifest.json", "SHA256SUMS")  # they differ wherever anything does
ROOMS = (  # in the order in which they are made
    "validation", "matrices", "comparison", "clustering", "tiers", "sensitivity", "circle",
    "figures", "report",
)  # fmt: skip
SURROUNDED = "its bytes were changed after it was made, or its drawing depends on the surroundings"


def plain(value: str) -> str:
    """Return a value as a reader sees it: text without quotes, the rest as it stands."""
    if not value:
        return NOTHING
    try:
        read = json.loads(value)
    except ValueError:
        read = value
    return shortened(read if isinstance(read, str) else value, LONGEST)


def from_to(was: str, now: str) -> str:
    """Return a change of a value."""
    return f"{plain(was)}{ARROW}{plain(now)}"


def change(one: Change, sides: Sides) -> str:
    """Say in what two runs differ."""
    side = sides[one.side == NOW]
    sentences = {
        INPUT: f"{one.name} of the study's folder",
        SETTING: f"setting {one.name}: {from_to(one.was, one.now)}",
        CODE: f"code of {one.name}" if one.name else "code of the project",
        VERSION: f"{one.name} {from_to(one.was, one.now)}",
        STUDY: f"results of {one.name}, which were read here",
        CHANGED_LATER: f"{one.name} in {side} is no longer what its run made",
        LOST: f"{one.name} is gone from {side}",
        READ_OTHERWISE: f"{one.name} in {side} was not what its run had made when it was read",
        SURROUNDINGS: f"surroundings of {one.name}: all that is recorded is the same",
        ONE_RUN: f"step {one.name}, which only one of the two took",
        UNRECORDED: f"not recorded for {one.name}" if one.name else "not recorded",
    }
    return sentences[one.kind]


def notes(found: Sequence[Note], sides: Sides) -> list[str]:
    """Say what a comparison had to do without, once where it holds for both sides."""
    texts: dict[tuple[str, str], list[str]] = {}
    for one in found:
        texts.setdefault((one.code, one.detail), []).append(sides[one.side == NOW])
    return [
        NOTES[code].format(side=" and in ".join(dict.fromkeys(names)), detail=detail)
        for (code, detail), names in texts.items()
    ]


def state(code: str, sides: Sides) -> str:
    """Return how a file stands."""
    return STATES[code].format(was=sides[0], now=sides[1])


def standing(file: FileState, found: Comparison, sides: Sides) -> str:
    """Return how a file stands that is not on both sides, or can not be read."""
    text = state(file.state, sides)
    if file.reason:
        text += f" ({file.reason})"
    if file.state == MISSING and found.listed and file.path not in found.listed:
        text += ", and its manifest does not list it"
    return text


def made(trace: Trace, sides: Sides) -> str:
    """Say where a file that is not compared inside comes from."""
    if not trace.step:
        return f"not recorded what it was made from: an input differs, or {SURROUNDED}"
    later = [one for one in trace.causes if one.kind == CHANGED_LATER and one.name == trace.path]
    if later:
        return "; ".join(change(one, sides) for one in later)
    if trace.inputs:
        return f"made by {trace.step}, which read other {listed(trace.inputs, 4)}"
    if trace.own:
        return f"made by {trace.step}: {'; '.join(change(one, sides) for one in trace.own)}"
    return f"made by {trace.step} from the same: {SURROUNDED}"


def files(found: Comparison, sides: Sides) -> str:
    """Say in a line how the files of two folders stand to each other."""
    total = counted(len(found.files), "file", "files")
    if found.same:
        return f"all {total} are the same" if found.files else "no files on either side"
    verb = "differs" if found.number(DIFFERS) == 1 else "differ"
    parts = [f"{found.number(DIFFERS)} of {total} {verb}"]
    parts += [
        f"{found.number(code)} {words}"
        for code, words in (
            (MISSING, f"only in {sides[0]}"),
            (EXTRA, f"only in {sides[1]}"),
            (UNREADABLE, "cannot be read"),
        )
        if found.number(code)
    ]
    return ", ".join(parts)


def causes(found: Comparison) -> list[tuple[Change, int]]:
    """Return what the differences come from, with the number of files, the widest first."""
    counts: dict[Change, int] = {}
    for trace in found.traces:
        for one in trace.causes:
            counts[one] = counts.get(one, 0) + 1
    return sorted(counts.items(), key=lambda item: (-item[1], item[0]))


def traced(found: Comparison) -> list[tuple[Change, int]]:
    """Return what is known of where the differences come from; see `causes`."""
    return [(one, number) for one, number in causes(found) if one.kind != UNRECORDED]


def origins(trace: Trace, sides: Sides) -> str:
    """Return where the difference of a file comes from."""
    return "; ".join(change(one, sides) for one in trace.causes)


def difference(found: Comparison, path: str, sides: Sides) -> str:
    """Return what differs of a file, on a line."""
    file = next(file for file in found.files if file.path == path)
    in_table, in_content = found.table(path), found.content(path)
    if file.state != DIFFERS:
        return standing(file, found, sides)
    if in_table:
        return table(in_table, sides)
    if in_content:
        return content(in_content, sides)
    return made(found.trace(path), sides)


def is_colour(text: str) -> bool:
    """Tell whether a text is a colour that a page may paint."""
    return COLOUR.fullmatch(text) is not None


def idle(found: Comparison) -> list[Change]:
    """Return in what the runs differ although no differing file was traced to it."""
    # a step's own setting may name several of the settings that it may be
    met = {
        (one.kind, name)
        for one, _ in causes(found)
        for name in (one.name, *WORDS.findall(one.name))
    }
    if any(kind == CODE for kind, _ in met):  # the project's code is that of its steps
        met.add((CODE, ""))
    return [one for one in found.changes if (one.kind, one.name) not in met]


def nearest_first(found: Comparison) -> list[str]:
    """Return the files that are not the same, those first that no other result explains.

    Within these: in the order in which the rooms of the results are made.
    """
    paths = {file.path for file in found.different}
    inputs = {trace.path: paths & set(trace.inputs) for trace in found.traces}

    def rank(path: str) -> tuple[bool, bool, int, str]:
        room = path.split("/")[0]
        place = ROOMS.index(room) if room in ROOMS else len(ROOMS)
        return path in LISTS, bool(inputs.get(path)), place, path

    return sorted(paths, key=rank)
