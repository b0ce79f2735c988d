"""What the page saved, or the text copied from it, read into an answer or into faults."""

import contextlib

from felloe.collecting.identity import Identity
from felloe.collecting.page.copied_text import DamagedText, copied_record, decoded, whole_records
from felloe.collecting.page.saved_record import BadRecord, returned_record
from felloe.collecting.returned import Returned
from felloe.errors import Fault

LARGEST = 4 << 20  # bytes; an answer has some ten thousand, a mail around it some more


def read_return(data: bytes, source: str) -> tuple[Returned | None, list[Fault]]:
    """
    Return the answer in the bytes of a file, or what is wrong with them.

    Parameters
    ----------
    data : bytes
        JSON as the page saves it, or a text with the copied lines in it, a whole mail even;
        what lies in it decides.
    source : str
        Name of the file for messages.

    Returns
    -------
    returned : Returned or None
    faults : list of Fault
        Empty if and only if there is an answer.
    """
    try:
        return returned_record(record_text(data), source), []
    except (DamagedText, BadRecord) as error:
        problem, remedy = error.args
        return None, [Fault(source, problem=problem, remedy=remedy)]


def record_text(data: bytes) -> str:
    """Return the JSON in the bytes of a file."""
    if len(data) > LARGEST:
        remedy = "Is it the right file? An answer has some ten thousand characters."
        raise BadRecord("is too large for an answer", remedy)
    text = decoded(data).lstrip("\ufeff \t\r\n")
    if text.startswith("{"):
        return text
    try:
        return copied_record(text).decode("utf-8")
    except UnicodeDecodeError:
        remedy = "Ask for the file that the page saves."
        raise BadRecord("holds an answer that is no text in UTF-8", remedy) from None


def identities_in(data: bytes) -> set[Identity]:
    """Return whose answers stand in a text that may hold several, damaged ones aside."""
    found = set()
    for record in whole_records(decoded(data[:LARGEST])):
        with contextlib.suppress(BadRecord, UnicodeDecodeError):
            found.add(returned_record(record.decode("utf-8"), "").identity)
    return found
