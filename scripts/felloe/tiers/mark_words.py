"""What the marks at the rim of the wheel say of a term: for its key and its page."""

from collections.abc import Mapping
from typing import Any

from felloe.ground.files.numbers import shown


def mark_meanings(limits: Mapping[str, Any]) -> dict[str, str]:
    """
    Say what the marks at the rim of the wheel mean.

    Parameters
    ----------
    limits : mapping
        `firm_probability` and `undecided_probability`: `limits` of `chart.json`.

    Returns
    -------
    dict of str to str
        By status.
    """
    firm, open_below = (
        shown(limits[f"{name}_probability"], "percent") for name in ("firm", "undecided")
    )
    return {
        "doubtful": f"doubtful: in its class in fewer than {firm} of redraws, or its class does "
        "not hold, or it depends on how ties are broken",
        "undecided": f"undecided, in italics: fewer than {open_below}, or less alike than chance",
        "moved": "moved by the committee, with its reason in the report",
    }
