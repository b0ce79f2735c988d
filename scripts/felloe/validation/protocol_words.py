"""Whether a run keeps to what was frozen before the data, in words."""

import json
from collections.abc import Mapping
from typing import Any

Record = Mapping[str, Any]  # `validation/protocol.json`

SHORT = 12  # characters of a hash where it only has to be recognised
NONE = (
    "No protocol was frozen for this study. Margins, ranges and screening are those of the "
    "settings below; nothing here shows whether they were chosen before the data were seen."
)
PROOF = (
    "That it is older than the data is shown by whoever was given the hash, and by nothing in "
    "these files."
)
SEEN = "It was frozen when sorts were there already, so it fixed nothing before the data."
MARGINS = "comparison.margins"


def points(number: int) -> str:
    """Return how many departures there are, with the word for them."""
    return f"{number} {'point' if number == 1 else 'points'}"


def short(record: Record) -> str:
    """Return in a line whether the run keeps to its protocol."""
    if record["state"] == "none":
        return "nothing: no protocol (settings set down before the data) was frozen"
    found = len(record["departures"])
    held = f"departed from in {points(found)}" if found else "kept"
    seen = ", frozen when sorts were there already" if record["data_seen"] else ""
    number = record.get("lowered_by_preview", 0)
    apart = f"; a preview, {settings_lower(number)}" if number else ""
    return f"protocol {record['sha256'][:SHORT]}\u2026: {held}{seen}{apart}"


def standing(record: Record) -> str:
    """Return what was frozen, and whether the run keeps to it."""
    if record["state"] == "none":
        return NONE
    when = SEEN if record["data_seen"] else PROOF
    found = len(record["departures"])
    held = (
        f"This run departs from it in {points(found)}, all listed here."
        if found
        else "This run keeps to it in every point."
    )
    return (
        "Settings, seed, instruction, populations and terms were frozen in the study's "
        f"protocol.json. {when} {held}{of_preview(record)}"
    )


def of_preview(record: Record) -> str:
    """Return how much a preview lowers, as a further sentence; "" if the run is none."""
    number = record.get("lowered_by_preview", 0)
    if not number:
        return ""
    return f" It is a preview, {settings_lower(number)}; that is counted as no departure."


def settings_lower(number: int) -> str:
    """Return how many settings a preview lowers."""
    return f"{number} {'setting' if number == 1 else 'settings'} lower"


def margins(record: Record) -> str:
    """Return whether the margins of the pooling question were fixed beforehand."""
    if record["state"] == "none":
        return "The margins are those of the settings; no protocol was frozen before the data."
    changed = [each for each in record["departures"] if each["what"].startswith(MARGINS)]
    if changed:
        return f"The margins depart from the protocol in {points(len(changed))}, listed below."
    protocol = f"protocol {record['sha256'][:SHORT]}\u2026"
    if record["data_seen"]:
        return f"The margins are those of the {protocol}, frozen when sorts were there already."
    return f"The margins were fixed beforehand, in the {protocol}."


def rows(record: Record) -> list[dict[str, str]]:
    """Return the departures as rows of texts: `what`, `frozen`, `now`."""
    return [
        {
            "what": "version of Felloe" if each["what"] == "felloe" else each["what"],
            "frozen": told(each["frozen"]),
            "now": told(each["now"]),
        }
        for each in record["departures"]
    ]


def told(value: Any) -> str:
    """Return a frozen value as text; nothing is a dash, and the rest as it stands in a file."""
    if value is None:
        return "\u2013"
    return value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)
