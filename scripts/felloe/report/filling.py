"""Templates filled with values, and the hash by which a page allows its own style or script."""

import base64
import hashlib
import json
from pathlib import Path
from typing import Any

LIBRARY = Path(__file__).parents[1]


def fill(template: str, **values: Any) -> str:
    """
    Fill a template.

    Parameters
    ----------
    template : str
        Path of a template within the library; templates that it includes or extends too.
    **values
        What the template needs; one that it asks for and is not given is an error.

    Returns
    -------
    str
        Whatever text the values hold is shown as text.
    """
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    environment = Environment(
        loader=FileSystemLoader(LIBRARY),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    return environment.get_template(template).render(**values)


def tagged(text: str, part: str, language: str) -> str:
    """
    Return a text, a part of which may be in another language than what stands around it.

    Parameters
    ----------
    text, part : str
    language : str
        Tag of the part's language; empty where it is that of the text.

    Returns
    -------
    str
        With a language that the text holds the part of it is HTML, safe to be shown.
    """
    from markupsafe import Markup

    if not (part and language and part in text):
        return text
    before, _, after = text.partition(part)
    marked = Markup('{}<span lang="{}" dir="auto">{}</span>{}')
    return marked.format(before, language, part, after)


def content_hash(text: str) -> str:
    """Return the hash by which a page allows this one style or script and no other."""
    digest = hashlib.sha256(text.encode("utf-8")).digest()
    return f"'sha256-{base64.b64encode(digest).decode('ascii')}'"


def script_json(record: Any) -> str:
    """Return JSON that cannot end the element it stands in."""
    text = json.dumps(record, ensure_ascii=False, separators=(",", ":"))
    for character, escaped in (("<", "\\u003c"), (">", "\\u003e"), ("&", "\\u0026")):
        text = text.replace(character, escaped)
    return text
