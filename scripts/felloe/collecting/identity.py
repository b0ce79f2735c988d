"""What every file of a kit names, so that no return counts for another study or person."""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Kind = Literal["sort", "colours"]
CODE_LENGTH = 8  # of the hash as people type it from paper


@dataclass(frozen=True)
class Identity:
    """
    Whose answer to what a file is.

    Attributes
    ----------
    kind : {'sort', 'colours'}
    study : str
        Its name in the settings.
    edition : str
    participant : str
    terms : str
        SHA-256 of the lexicon, see `hash_of_terms`.
    """

    kind: Kind
    study: str
    edition: str
    participant: str
    terms: str


def hash_of_terms(labels: Mapping[str, str]) -> str:
    """
    Return the SHA-256 of a lexicon: ids with their labels, whatever the order of its rows.

    Parameters
    ----------
    labels : mapping of str to str
        Label of every term, in the study's own language, by id.

    Returns
    -------
    str
        Of the lines `<id>\\t<label>` in the order of ids.
    """
    lines = "".join(f"{term}\t{labels[term]}\n" for term in sorted(labels))
    return hashlib.sha256(lines.encode()).hexdigest()
