"""The text that people copy from the page, taken out of a mail however it was quoted or wrapped."""

import base64
import binascii
import codecs
import contextlib
import hashlib
import re
from collections.abc import Iterator

BEGINS, ENDS = "felloe return begins", "felloe return ends"
CHECKED = 8  # hex digits of the hash that stand in the last line
BLANKS = r"[\s\u00a0\u200b\u2060\ufeff]"
QUOTED = re.compile(r"^(?:[ \t\u00a0]*\w{0,3}[>|])+", re.MULTILINE)  # `> > `, `AB> `
HTML = re.compile(r"</?[A-Za-z][^<>]{0,1000}>|&nbsp;")  # of a mail saved as it was sent
BLOCK = re.compile(
    rf"{BEGINS}(?P<text>(?:(?!{BEGINS}).)*?){ENDS}{BLANKS}*(?P<check>[0-9a-f]{{{CHECKED}}})"
    r"(?![0-9a-z])".replace(" ", rf"{BLANKS}+"),
    re.DOTALL | re.IGNORECASE,
)
AGAIN = "Ask for the file that the page saves, or for the whole text copied anew."


class DamagedText(Exception):
    """A copied text is not whole; the arguments are the problem and what to do."""


def decoded(data: bytes) -> str:
    """Return a text file's characters; what is not ASCII matters to nobody here."""
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return data.decode("utf-16", errors="replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("latin-1")


def copied_record(text: str) -> bytes:
    """
    Return the bytes of the JSON that a copied text holds.

    Parameters
    ----------
    text : str
        Perhaps a whole mail, with the answer quoted, wrapped or joined into one line.

    Raises
    ------
    DamagedText
        If there is none, or it is not what was copied, or there are several that differ.
    """
    plain = bare(text)
    found = {block_bytes(block) for block in BLOCK.finditer(plain)}
    if not found:
        raise DamagedText(*missing(plain))
    if len(found) > 1:
        problem = f"holds {len(found)} answers that differ"
        raise DamagedText(problem, "Put each into a file of its own.")
    return found.pop()


def bare(text: str) -> str:
    """Return a text without marks of quoting and without tags."""
    return QUOTED.sub("", HTML.sub(" ", text.replace("\r\n", "\n").replace("\r", "\n")))


def whole_records(text: str) -> Iterator[bytes]:
    """Yield the bytes of every answer that a text holds undamaged."""
    for block in BLOCK.finditer(bare(text)):
        with contextlib.suppress(DamagedText):
            yield block_bytes(block)


def missing(plain: str) -> tuple[str, str]:
    """Return what to say where no whole block was found."""
    joined = " ".join(plain.split()).lower()
    if BEGINS not in joined and ENDS not in joined:
        return f"holds no answer: no line '{BEGINS}'", AGAIN
    lacks = f"begins with no line '{BEGINS}'" if BEGINS not in joined else "is cut short"
    return f"the copied text {lacks}", AGAIN


def block_bytes(block: re.Match[str]) -> bytes:
    """Return what one block holds, checked against its last line."""
    # `=` fills up at the end, which is told by the length; a raw mail breaks lines with it too
    letters = re.sub(f"{BLANKS}+|=(?:3D)?", "", block["text"])
    strange = re.search(r"[^A-Za-z0-9+/]", letters)
    if strange:
        problem = f"the copied text holds the sign U+{ord(strange.group()):04X}, which none has"
        raise DamagedText(problem, AGAIN)
    try:
        data = base64.b64decode(letters + "=" * (-len(letters) % 4), validate=True)
    except (binascii.Error, ValueError):
        raise DamagedText("the copied text is damaged: letters are missing", AGAIN) from None
    if hashlib.sha256(data).hexdigest()[:CHECKED] != block["check"].lower():
        raise DamagedText("the copied text was changed: its check does not fit", AGAIN)
    return data
