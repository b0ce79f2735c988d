"""How numbers are shown to readers; the only place where anything is rounded."""

import math
from collections.abc import Callable
from typing import Any

MINUS = "\u2212"
NARROW = "\u202f"  # narrow no-break space, between a number and its unit
ABSENT = "\u2013"


def shown(value: Any, style: str = "plain") -> str:
    """
    Return a value as a reader sees it.

    Parameters
    ----------
    value : object
        A number, truth value, text, or the text of a table's cell; empty or None is a dash.
    style : {"plain", "colour"} or one of `STYLES`
        auto shows whole numbers whole and others as decimal, which has three places; percent
        takes a share; p is never shown as zero.

    Returns
    -------
    str
    """
    if is_blank(value):
        return ABSENT
    if isinstance(value, bool):
        return "yes" if value else "no"
    if style in ("plain", "colour"):
        return str(value)
    number = as_number(value)
    if number is None:
        return str(value)
    text = STYLES[style](number)
    return text.removeprefix("-") if not text.strip("-0.") else text.replace("-", MINUS)


def is_blank(value: Any) -> bool:
    """Return whether a value is absent: None, an empty text or list, or not a number."""
    return bool(value is None or value == "" or value == () or value != value)


def as_number(value: Any) -> float | None:
    """Return the number that a value stands for, or None."""
    try:
        number = float(value)
    except (TypeError, ValueError):
        return None
    return number if math.isfinite(number) else None


def count(number: float) -> str:
    """Return a whole number with its thousands set apart."""
    return f"{number:,.0f}".replace(",", NARROW)


def percent(number: float) -> str:
    """Return a share in percent; one that is not 0 or 100 is never shown as such."""
    share = 100.0 * number
    if 0 < share < 0.05:
        return f"<0.1{NARROW}%"
    if 99.95 <= share < 100:
        return f">99.9{NARROW}%"
    places = 1 if 0 < share < 1 or 99 < share < 100 else 0
    return f"{share:.{places}f}{NARROW}%"


def probability(number: float) -> str:
    """Return a p-value with two significant digits, at least three places."""
    if number >= 0.01:
        return f"{number:.3f}"
    return f"{number:.1g}" if number >= 0.0001 else f"{number:.0e}"


def automatic(number: float) -> str:
    """Return a number whole if it is, else with three places."""
    return count(number) if number == int(number) else f"{number:.3f}"


STYLES: dict[str, Callable[[float], str]] = {
    "auto": automatic,
    "count": count,
    "decimal": lambda number: f"{number:.3f}",
    "decimal1": lambda number: f"{number:.1f}",
    "decimal2": lambda number: f"{number:.2f}",
    "decimal4": lambda number: f"{number:.4f}",
    "percent": percent,
    "degrees": lambda number: f"{number:.1f}\u00b0",
    "p": probability,
}
