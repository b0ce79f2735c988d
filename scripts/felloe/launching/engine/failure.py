"""Why a run failed, on one screen: what, where, what to do; tracebacks stay in the files."""

from collections.abc import Iterable, Sequence
from pathlib import Path, PurePath
from typing import TypeVar

from felloe.launching.engine.events import Failed, Said

Item = TypeVar("Item")

LINES_OF_A_SCREEN = 52
TRACEBACK = "Traceback (most recent call last)"
ENDED = "the step was ended before it could say why"
# sentences of the engine that add nothing to what a step or another error says
CONSEQUENCES = (
    "returned non-zero exit status 1.",
    "At least one job did not complete successfully.",
    "Exiting because a job execution failed. Look above for error messages",
)
LOCKED = (
    "Another run is at work in this folder, or one was killed and left its lock.\n"
    "If none is at work, type this, then the same command again:\n    {unlock}"
)
KILLED = (
    "Something outside the step ended it. If memory ran short: "
    "fewer steps at once need less, as with --cores 1."
)
IN_A_RULE = "This is a fault of the rules, not of your study. Mend that place, or report it."
OPTIONS = "What may be typed is listed by: python3 scripts/run --help"
REMEDIES = {
    "MissingInputException": "Put the missing files there, or mend what names them.",
    "MissingRuleException": (
        "Check the name; it is relative to the working folder, as results/<study>/manifest.json is."
    ),
    "TokenError": "A rule file ends within a bracket or a quotation; close it.",
    "MissingOutputException": "The step ended without writing what its rule promises; mend it.",
}


def explanation(
    folder: Path,
    failures: Iterable[Failed],
    errors: Iterable[Said],
    text: Sequence[str],
    notes: Sequence[str] = (),
    *,
    unlock: str = "python3 scripts/run --unlock",
) -> str:
    """
    Return one screen on what went wrong.

    Parameters
    ----------
    folder : Path
        The working folder, to which logs are relative.
    failures : iterable of Failed
        Steps that failed.
    errors : iterable of Said
        What the engine called an error.
    text : sequence of str
        Lines that the engine or a step printed beside the events and logs.
    notes : sequence of str
        What else the engine said; its last words stand in where there is nothing better.
    unlock : str
        The command that unlocks the folder.
    """
    blocks, wordless = [], False
    failed = unique((failed.rule, tuple(failed.logs)) for failed in failures)
    for rule, logs in failed:
        message = message_of_logs(folder, logs)
        wordless = wordless or message[0].startswith(ENDED)
        blocks.append(
            ([f"{named(rule, logs)} failed:", *message], [f"Log: {logs[0]}"][: len(logs)])
        )
    said = unique(errors)
    causes = [each for each in said if not each.text.endswith(CONSEQUENCES)]
    for each in causes:
        blocks.append((without_traceback(words_of(each, unlock)).splitlines(), remedies_for(each)))
    if text and (wordless or not blocks):
        blocks.append(printed(text))
    if not blocks:
        last = [*unique(notes)[-4:], *(words_of(each, unlock) for each in said)]
        blocks.append((["Snakemake stopped without saying why. Its last words:", *last], []))
    return one_screen(blocks)


def one_screen(blocks: Sequence[tuple[list[str], list[str]]]) -> str:
    """Return blocks of (lines that may be cut, lines that may not) as one screen."""
    shown, room = [], LINES_OF_A_SCREEN
    for number, (body, tail) in enumerate(blocks):
        if number and room < 2 + len(tail):
            shown.append(f"... and {len(blocks) - number} more.")
            break
        kept = [*body[: max(1, room - len(tail))], *tail]
        room -= len(kept) + 1
        shown.append("\n".join(kept))
    return "\n\n".join(shown)


def message_of_logs(folder: Path, logs: Sequence[str]) -> list[str]:
    """Return what the first of a job's logs with any words says."""
    messages = [message_of(folder / log) for log in logs] or [[ENDED]]
    return next((each for each in messages if not each[0].startswith(ENDED)), messages[0])


def message_of(log: Path) -> list[str]:
    """Return the lines of a step's log that say what went wrong, without a traceback."""
    try:
        lines = log.read_text(encoding="utf-8", errors="replace").rstrip().splitlines()
    except OSError:
        return [ENDED]
    if any(line.startswith("Traceback") for line in lines):
        return lines[-1:]
    return lines or [f"{ENDED} (by the system, or for want of memory?)"]


def words_of(said: Said, unlock: str) -> str:
    """Return the words of an error; those made for the reader stand without their place."""
    if said.exception == "LockException":
        return LOCKED.format(unlock=unlock)
    if said.exception == "WorkflowError" and said.text.startswith("WorkflowError"):
        return said.text.partition("\n")[2]
    return said.text


def remedies_for(said: Said) -> list[str]:
    """Return what to do about an error, if that is known."""
    if said.exception in REMEDIES:
        return [REMEDIES[said.exception]]
    if "died with <Signals" in said.text or said.text.endswith("exit status 137."):
        return [KILLED]
    # it names the place of what it found in a rule file; WorkflowError has words for the reader
    if said.exception != "WorkflowError" and ' in file "' in said.text.partition("\n")[0]:
        return [IN_A_RULE]
    return []


def printed(text: Sequence[str]) -> tuple[list[str], list[str]]:
    """Return what matters of the lines that were printed beside events and logs, as a block."""
    if text[0].startswith("usage: "):  # all options of the engine, then what is wrong with one
        return [text[-1].partition(": error: ")[2] or text[-1]], [OPTIONS]
    return without_traceback("\n".join(text)).splitlines()[-LINES_OF_A_SCREEN:], []


def without_traceback(text: str) -> str:
    """Return the text without calls and blank lines; of a chain of exceptions, with the last."""
    lines = text.splitlines()
    heads = [number for number, line in enumerate(lines) if TRACEBACK in line]
    if heads:
        after = lines[heads[-1] + 1 :]
        first = next(
            (n for n, line in enumerate(after) if line[:1].strip()), max(0, len(after) - 3)
        )
        lines = lines[: heads[0]] + after[first:]
    return "\n".join(
        line
        for line in lines
        if line.strip()
        and line != "Traceback:"
        # without a function it is the place of a syntax error
        and not (line.startswith('  File "') and ", in " in line)
    )


def named(rule: str, logs: Sequence[str]) -> str:
    """
    Return a rule's name as it is shown.

    A rule made for one study is called `<rule>_<study>`, while its log keeps the rule's name, as in
    `results/<study>/logs/<rule>/pooled.log`; it is shown as `<rule> <study>`.
    """
    for log in logs:
        parts = PurePath(log).parts
        if "logs" in parts[:-1]:
            base = PurePath(parts[parts.index("logs") + 1]).stem
            if rule.startswith(f"{base}_"):
                return f"{base} {rule.removeprefix(f'{base}_')}"
    return rule


def unique(items: Iterable[Item]) -> list[Item]:
    """Return the items in order, each once."""
    return list(dict.fromkeys(items))
