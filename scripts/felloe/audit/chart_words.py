"""What follows for the chart, in words."""

from collections.abc import Sequence

from felloe.audit.chart_changes import Effects, Fact, Move
from felloe.audit.phrases import ARROW, NOTHING, counted
from felloe.ground.files.numbers import shown

MOVE_HEADS = {
    "class": "class",
    "subclass": "subclass",
    "status": "status",
    "absorbed": "became a group's name",
    "data_class": "class, data alone",
}
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
GROUP_MOVES = ("class", "subclass", "data_class")


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
