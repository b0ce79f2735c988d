"""The pages: one person's task as HTML that opens from disk and asks nothing of a network."""

import hashlib
import json
import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from felloe.collecting.asked import Asked, Card, Consent
from felloe.collecting.identity import Identity
from felloe.collecting.page.wording import page_words
from felloe.collecting.returned import LONGEST_WORDS
from felloe.report.filling import content_hash, fill, script_json
from felloe.report.languages.language_words import Words
from felloe.report.tones import DARK_TONES, TONES, scheme_variables

HERE = Path(__file__).parent
READS = ("collecting/page/*.html.j2", "collecting/page/*.js", "collecting/page/*.css")
TOLD = ("purpose", "stored", "withdraw", "contact", "text")  # of the consent, in this order
SHARED = ("page_text.js", "page_store.js", "return_hash.js", "return_file.js", "page_frame.js")
KEYS = (
    "number", "zero", "question", "arrows", "enter", "delete", "escape", "undo", "control",
)  # fmt: skip


def sort_page(asked: Asked) -> str:
    """
    Write the page that a person sorts on.

    Parameters
    ----------
    asked : Asked

    Returns
    -------
    str
        HTML; whatever text the study holds is shown as text.
    """
    words = page_words(asked.language)
    scripts = (
        "sort_state.js",
        "sort_hand.js",
        "sort_layout.js",
        "sort_board.js",
        "sort_drag.js",
        "sort_keys.js",
        "sort_main.js",
    )
    return page(
        asked,
        words,
        scripts=scripts,
        how=[words[f"sort.{key}"] for key in ("how", "how_more", "how_unknown")],
        keys=[(words[f"sort.keys.{key}"], words[f"sort.keys.{key}_does"]) for key in KEYS],
    )


def colour_page(asked: Asked) -> str:
    """
    Write the page that a person picks colours on.

    Parameters
    ----------
    asked : Asked

    Returns
    -------
    str
        HTML; whatever text the study holds is shown as text.
    """
    words = page_words(asked.language)
    scripts = ("colour_space.js", "colour_names.js", "colour_state.js", "colour_fields.js")
    return page(
        asked,
        words,
        scripts=(*scripts, "colour_main.js"),
        how=[words[f"colours.{key}"] for key in ("how", "how_more", "screens")],
    )


def page(
    asked: Asked, words: Words, *, scripts: Sequence[str], how: Sequence[str], **values: Any
) -> str:
    """Fill the template of a kind of page; `values` are what only this kind has."""
    from markupsafe import Markup

    kind, consent = asked.identity.kind, asked.consent
    style = scheme_variables(TONES, DARK_TONES) + text_of("page.css", f"{kind}.css")
    script = text_of(*SHARED, *scripts)
    return fill(
        f"collecting/page/{kind}.html.j2",
        title=asked.title,
        participant=asked.identity.participant,
        file=file_name(asked.identity),
        lead=words.fill(
            "page.lead",
            participant=asked.identity.participant,
            cards=counted(words, f"{kind}.cards", len(asked.cards)),
        ),
        instruction=paragraphs(asked.instruction),
        consent=consent_told(asked, words),
        contact=paragraphs(consent.contact) if consent.given else [],
        how=how,
        private=private(asked, words),
        holds=holds(asked, words),
        say=speaker(words, kind),
        language=words.language,
        own=asked.language,
        data=Markup(script_json(page_data(asked, words))),
        style=Markup(style),
        script=Markup(script),
        style_hash=Markup(content_hash(style)),
        script_hash=Markup(content_hash(script)),
        **values,
    )


def counted(words: Words, key: str, number: int) -> str:
    """Return a number with the word for what is counted."""
    return words.fill(f"{key}.{'one' if number == 1 else 'many'}", number=number)


def text_of(*names: str) -> str:
    """Return some of this room's files as one."""
    return "\n".join((HERE / name).read_text(encoding="utf-8") for name in names)


def speaker(words: Words, kind: str) -> Any:
    """Return what says a text of this kind of page, or else of all pages."""

    def say(key: str, **values: object) -> str:
        own = f"{kind}.{key}"
        return words.fill(own if own in words else f"page.{key}", **values)

    return say


def file_name(identity: Identity) -> str:
    """Return the name of the file that the page saves."""
    return f"{identity.study}-{identity.participant}-{identity.kind}.json"


def paragraphs(text: str) -> list[str]:
    """Return the paragraphs of a plain text, with their lines; empty lines stand between them."""
    parts = re.split(r"\n[ \t]*\n", text.replace("\r\n", "\n"))
    return [part.strip() for part in parts if part.strip()]


def consent_told(asked: Asked, words: Words) -> list[tuple[str, list[str]]]:
    """Return the consent as (title, paragraphs), without what is empty."""
    if not asked.consent.given:
        return []
    told = [(words[f"page.consent.{key}"], paragraphs(getattr(asked.consent, key))) for key in TOLD]
    told[-1] = (told[-1][0], [" ".join(part.split()) for part in told[-1][1]])  # as typed in a file
    return [(title, parts) for title, parts in told if parts]


def private(asked: Asked, words: Words) -> list[str]:
    """Return what a person has to know of themselves before they begin."""
    say = speaker(words, asked.identity.kind)
    told = [say("no_name", participant=asked.identity.participant), say("not_secret")]
    sorts, timed = asked.identity.kind == "sort", asked.consent.given and asked.consent.minutes
    return told + ([say("unique")] if sorts else []) + ([say("timed")] if timed else [])


def holds(asked: Asked, words: Words) -> str:
    """Return what the file tells of a person."""
    told = speaker(words, asked.identity.kind)("holds", participant=asked.identity.participant)
    return f"{told} {words['page.holds_minutes']}" if asked.consent.minutes else told


def page_data(asked: Asked, words: Words) -> dict[str, Any]:
    """Return what the script knows."""
    own = asked.identity
    return {
        "identity": identity_data(own),
        "language": asked.language,
        "interface": words.language,
        "file": file_name(own),
        "minutes": asked.consent.given and asked.consent.minutes,
        "consent": hash_of_consent(asked.consent),
        "longestWords": LONGEST_WORDS,
        "cards": [card_data(card) for card in asked.cards],
        "words": {**words.group("page.script"), **words.group(f"{own.kind}.script")},
    }


def hash_of_consent(consent: Consent) -> str:
    """Return what tells one consent text from another; a draft agrees to one of them."""
    told = json.dumps([consent.given, consent.minutes, *(getattr(consent, key) for key in TOLD)])
    return hashlib.sha256(told.encode("utf-8")).hexdigest()


def identity_data(own: Identity) -> Mapping[str, str]:
    """Return whose answer to what the file will be."""
    return {
        "kind": own.kind,
        "study": own.study,
        "edition": own.edition,
        "participant": own.participant,
        "terms": own.terms,
    }


def card_data(card: Card) -> dict[str, str]:
    """Return a card as the script knows it."""
    return {"term": card.term, "label": card.label, "definition": card.definition}
