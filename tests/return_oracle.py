"""What a return is by its definition, written out: the hash of the terms, and the text to copy."""

import base64
import hashlib


def hash_by_definition(labels):
    """Return the hash of terms as `identity.py` defines it, not by its function."""
    lines = "".join(f"{term}\t{labels[term]}\n" for term in sorted(labels))
    return hashlib.sha256(lines.encode()).hexdigest()


def text_by_definition(data):
    """Return the text that the page shows to be copied, for the bytes of a record."""
    letters = base64.b64encode(data).decode()
    lines = [letters[at : at + 60] for at in range(0, len(letters), 60)]
    check = hashlib.sha256(data).hexdigest()[:8]
    return "\n".join(["felloe return begins", *lines, f"felloe return ends {check}"])
