"""Which characters identifiers and wording may have."""

import re
import unicodedata

IDENTIFIER = re.compile(r"[a-z0-9][a-z0-9_-]*")
LONGEST_IDENTIFIER = 64  # longer ones break file names and labels of figures
STEERING = {chr(code) for code in (*range(0x202A, 0x202F), *range(0x2066, 0x206A))}
# blanks that str.strip() leaves: zero-width ones and stray byte-order marks
INVISIBLE = "\u200b\u2060\ufeff"
UNSEEN = ("Cc", "Cs")  # controls, and halves of characters, which no file can hold


def hidden_character(text: str, allowed: str = "") -> str:
    """Return what to say of the first invisible control character of a text, or ""."""
    for character in text:
        hidden = unicodedata.category(character) in UNSEEN and character not in allowed
        if hidden or character in STEERING:
            return f"holds the invisible control character U+{ord(character):04X}"
    return ""


def cleaned(text: str) -> str:
    """Return text composed (NFC) and without blanks around it, non-breaking ones included."""
    return unicodedata.normalize("NFC", text).strip().strip(INVISIBLE).strip()
