"""What members are told, as one page: by letter, to read and to print, no script, no network."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from felloe.editions.handing_on.members import Told, lettered, told_same
from felloe.report.filling import content_hash, fill
from felloe.report.languages.language_words import Words
from felloe.report.tones import DARK_TONES, TONES, scheme_variables

TEMPLATE = "editions/handing_on/members.html.j2"
READS = ("editions/handing_on/members.*",)


@dataclass(frozen=True)
class Head:
    """
    What stands above the words.

    Attributes
    ----------
    title : str
        Of the newer study, in its language.
    language, older_language : str
        Tags of the labels' languages.
    older, newer : str
        What the editions are called.
    marks : sequence of str
        What has to be said before anybody reads on.
    """

    title: str
    language: str
    older_language: str
    older: str
    newer: str
    marks: Sequence[str] = ()


def members_page(head: Head, told: Sequence[Told], new: Sequence[str], words: Words) -> str:
    """
    Write the page.

    Parameters
    ----------
    head : Head
    told : sequence of Told
        By letter.
    new : sequence of str
        Words that have no older one.
    words : Words

    Returns
    -------
    str
        HTML; whatever text a study holds is shown as text.
    """
    from markupsafe import Markup

    tones = scheme_variables(TONES, DARK_TONES)
    style = tones + (Path(__file__).parent / "members.css").read_text(encoding="utf-8")
    told_of: dict[str, Any] = {
        "head": head,
        "letters": list(lettered(told)),
        "new": new,
        "same": told_same(told, words),
        "words": words,
        "say": lambda key, **values: words.fill(f"members.{key}", **values),
    }
    return fill(TEMPLATE, **told_of, style=Markup(style), style_hash=Markup(content_hash(style)))
