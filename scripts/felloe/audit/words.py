"""What two folders of results compared amount to, in words."""

import json
import re
from collections.abc import Sequence

from felloe.audit.differences import (
    BAD_LEDGER,
    BAD_MANIFEST,
    CHANGED_LATER,
    CODE,
    DIFFERS,
    EXTRA,
    INPUT,
    LOST,
    MISSING,
    NO_FOLDER,
    NO_LEDGER,
    NO_MANIFEST,
    NOW,
    ONE_RUN,
    READ_OTHERWISE,
    SETTING,
    STUDY,
    SURROUNDINGS,
    UNREADABLE,
    UNRECORDED,
    VERSION,
    CellDifference,
    Change,
    Comparison,
    ContentDifference,
    Effects,
    EntryDifference,
    Fact,
    FileState,
    Move,
    Note,
    TableDifference,
    Trace,
)
from felloe.errors import shortened
from felloe.ground.files.numbers import shown

Sides = tuple[str, str]  # what the two folders are called
ARROW = " -> "
COLOUR = re.compile("#[0-9a-fA-F]{6}")
WORDS = re.compile("[^ ()]+")
LONGEST = 48  # characters of a value
NOTHING = "nothing"
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
ENTRY_HEADS = {"record": "entry", "tree": "node", "triples": "statement", "lines": "line"}
MOVE_HEADS = {
    "class": "class",
    "subclass": "subclass",
    "status": "status",
    "absorbed": "became a group's name",
    "data_class": "class, data alone",
}
PERSONAL = "It may hold data about single people; look into the two folders for its contents."
KINDS = {"record": "entries", "tree": "nodes", "triples": "statements", "lines": "lines"}
MOVES = {
    "class": ("changes class", "change class"),
    "subclass": ("changes subclass", "change subclass"),
    "status": ("changes status", "change status"),
    "absorbed": (
        "is taken up into a group's name in one only",
        "are taken up into a group's name in one only",
    ),
    "data_class": (
        "changes class on the chart of the data alone",
        "change class on the chart of the data alone",
    ),
}
FACTS = {
    "n_class": "number of classes",
    "n_subclass": "number of subclasses",
    "linkage": "linkage of the chart",
    "cophenetic_correlation": "cophenetic correlation",
    "ring_length": "length of the ring",
    "verdict": "verdict on pooling",
}
LISTS = ("manifest.json", "SHA256SUMS")  # they differ wherever anything does
ROOMS = (  # in the order in which they are made
    "validation", "matrices", "comparison", "clustering", "tiers", "sensitivity", "circle",
    "figures", "report",
)  # fmt: skip
GROUP_MOVES = ("class", "subclass", "data_class")
SURROUNDED = "its bytes were changed after it was made, or its drawing depends on the surroundings"
SAME_IDS = (
    "Rows go by what stands in the files. A group's id is its alphabetically first term, so that "
    "two groups of one id need not be the same group; groups are matched by their terms above."
)


def counted(number: int, one: str, many: str) -> str:
    """Return a number with the word for what is counted."""
    return f"{number} {one if number == 1 else many}"


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


def listed(names: Sequence[str], most: int) -> str:
    """Return the first names, and how many more there are."""
    more = len(names) - most
    return ", ".join(names[:most]) + (f" and {more} more" if more > 0 else "")


def table(one: TableDifference, sides: Sides) -> str:
    """Return how much of a table differs."""
    if one.problem:
        return problem(one.problem, sides)
    parts = [
        counted(one.n_cells, "cell differs", "cells differ") if one.n_cells else "",
        only(one.n_rows_was, "row", sides[0]),
        only(one.n_rows_now, "row", sides[1]),
        columns(one.columns_was, sides[0], one.personal),
        columns(one.columns_now, sides[1], one.personal),
        "rows stand in another order" if one.reordered else "",
    ]
    return "; ".join(part for part in parts if part) or "the same cells, written differently"


def columns(names: Sequence[str], side: str, personal: bool) -> str:
    """Return which columns one side has alone; their number, where names may be people's."""
    if personal or not names:
        return only(len(names), "column", side)
    return f"columns only in {side}: {listed(names, 3)}"


def only(number: int, thing: str, side: str) -> str:
    """Return how many things one side has alone."""
    return f"{counted(number, thing, thing + 's')} only in {side}" if number else ""


def problem(text: str, sides: Sides) -> str:
    """Return why two files could not be compared inside."""
    side, _, reason = text.partition(": ")
    return f"not compared inside: in {sides[side == NOW]} it {reason_words(reason)}"


def reason_words(reason: str) -> str:
    """Return a reason as the end of a sentence about a file."""
    return f"has a fault ({reason})" if reason.startswith("line ") else reason


def content(one: ContentDifference, sides: Sides) -> str:
    """Return how much of a record, tree, vocabulary or text differs."""
    if one.problem:
        return problem(one.problem, sides)
    if not one.number:
        return "the same contents, written differently"
    things = KINDS[one.kind]
    verb = "differs" if one.number == 1 else "differ"
    return f"{counted(one.number, ENTRY_HEADS[one.kind], things)} {verb}"


def row(one: CellDifference | tuple[str, ...], key: Sequence[str]) -> str:
    """Return what a row is called."""
    names = one.row if isinstance(one, CellDifference) else one
    return shortened(" / ".join(names), LONGEST) if key else f"row {names[0]}"


def by(one: CellDifference) -> str:
    """Return how much a number changed, with its sign; nothing for words."""
    return "" if one.by is None else f"{one.by:+.4g}"


def cell(one: CellDifference, key: Sequence[str]) -> str:
    """Return a cell that differs, on a line."""
    amount = f" ({by(one)})" if one.by is not None else ""
    values = f"{text(one.was)}{ARROW}{text(one.now)}"
    return f"{row(one, key)}, {one.column}: {values}{amount}"


def text(value: str | None) -> str:
    """Return a cell or entry as a reader sees it."""
    return shortened(value, LONGEST) if value else NOTHING


def entry(one: EntryDifference) -> str:
    """Return an entry that differs, on a line."""
    return f"{shortened(one.key, 60)}: {text(one.was)}{ARROW}{text(one.now)}"


def fact(one: Fact) -> str:
    """Return a value of the chart that changed."""
    return f"{FACTS[one.name]}: {value(one.was)}{ARROW}{value(one.now)}"


def place(one: Move) -> str:
    """Return from where to where a term went; two groups may have one name and differ."""
    if one.was == one.now and one.kind in GROUP_MOVES:
        return f"{one.was}{ARROW}another group of that name"
    return f"{one.was or NOTHING}{ARROW}{one.now or NOTHING}"


def value(one: str | float | None) -> str:
    """Return a value of the chart as a reader sees it."""
    return shown(one, "auto")


def moved(found: Sequence[Move]) -> str:
    """Return of how many terms one thing changed."""
    words = MOVES[found[0].kind]
    return f"{counted(len(found), 'term', 'terms')} {words[len(found) != 1]}"


def kinds_moved(effects: Effects) -> list[str]:
    """Return what changed about any term."""
    return [kind for kind in MOVES if effects.of_kind(kind)]


def fitting(head: str, names: Sequence[str], width: int, most: int = 1) -> list[str]:
    """
    Return names in lines, as many as fit, and how many more there are.

    Parameters
    ----------
    head : str
    names : sequence of str
        At least one.
    width, most : int
        Of a line, and of lines; the first name is shown in any case.

    Returns
    -------
    list of str
    """
    lines = [f"{head}: {names[0]}"]
    for place, name in enumerate(names[1:], start=1):
        more = f" and {len(names) - place} more"
        room = width - (len(more) if len(lines) == most and place < len(names) - 1 else 1)
        if len(f"{lines[-1]}, {name}") <= room:
            lines[-1] += f", {name}"
        elif len(lines) < most:
            lines[-1] += ","
            lines.append(f"  {name}")
        else:
            lines[-1] += more
            break
    return lines


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


def sentence(line: str) -> str:
    """Return a line as a sentence."""
    return f"{line[:1].upper()}{line[1:]}."


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
