"""
What the engine tells the launcher, one line an event.

The lines are JSON text sequences (RFC 7464): a record separator, one JSON object, a line feed. They
share the engine's standard output with whatever else is printed there, since one pipe keeps the
order and cannot be left unread while another one is waited for; the separator tells an event
from other text, even behind a line that was not ended.
"""

import json
from dataclasses import asdict, dataclass

SEPARATOR = "\x1e"


@dataclass(frozen=True)
class Planned:
    """The jobs that will be run: their number by rule."""

    jobs: dict[str, int]


@dataclass(frozen=True)
class Cores:
    """The number of jobs of one thread that may run at once."""

    cores: int


@dataclass(frozen=True)
class Started:
    """A job began; `logs` are relative to the working folder."""

    job: int
    rule: str
    wildcards: dict[str, str]
    logs: list[str]


@dataclass(frozen=True)
class Finished:
    """A job ended well."""

    job: int


@dataclass(frozen=True)
class Progress:
    """So many of all jobs are done."""

    done: int
    total: int


@dataclass(frozen=True)
class Failed:
    """A job ended badly; `logs` are relative to the working folder, the step's own first."""

    rule: str
    logs: list[str]


@dataclass(frozen=True)
class Said:
    """
    Words of the engine: INFO, WARNING, ERROR or CRITICAL.

    `exception` is the name of the exception's class, empty where there is none.
    """

    level: str
    text: str
    exception: str = ""


Event = Planned | Cores | Started | Finished | Progress | Failed | Said
KINDS: dict[str, type[Event]] = {
    kind.__name__: kind for kind in (Planned, Cores, Started, Finished, Progress, Failed, Said)
}


def line_of(event: Event) -> str:
    """Return the line that carries an event."""
    content = {"event": type(event).__name__, **asdict(event)}
    return f"{SEPARATOR}{json.dumps(content)}\n"


def read_line(line: str) -> tuple[str, Event | None]:
    """
    Return what one line of the engine's output holds.

    Parameters
    ----------
    line : str

    Returns
    -------
    text : str
        What was printed before the event, or the whole line where there is no event.
    event : Event or None
        None also for a broken event, whose text is returned rather than lost.
    """
    text, separator, content = line.partition(SEPARATOR)
    if not separator:
        return line, None
    try:
        fields = json.loads(content)
        return text, KINDS[fields.pop("event")](**fields)
    except (ValueError, KeyError, TypeError, AttributeError):
        return text + content, None
