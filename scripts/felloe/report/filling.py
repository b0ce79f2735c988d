"""Templates filled with values, and the hash by which a page allows its own style or script."""

import base64
import hashlib
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


def content_hash(text: str) -> str:
    """Return the hash by which a page allows this one style or script and no other."""
    digest = hashlib.sha256(text.encode("utf-8")).digest()
    return f"'sha256-{base64.b64encode(digest).decode('ascii')}'"
