"""The letters that a sheet uses, font by font, as small font files to be carried along."""

import io
import logging
import re
import unicodedata
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Protocol

from felloe.errors import StudyError
from felloe.report.typeface.faces import Face
from felloe.report.typeface.shaping import Typesetter

WEIGHTS = {"normal": 400, "bold": 600}


class Lettered(Protocol):
    """A part of a sheet that has text."""

    text: str
    face: Face


@dataclass(frozen=True)
class Used:
    """
    One font of a sheet.

    Attributes
    ----------
    path : Path
    family : str
    weight : int
    style : str
    letters : str
        Sorted, each once.
    """

    path: Path
    family: str
    weight: int
    style: str
    letters: str

    @property
    def format(self) -> str:
        """The kind of font, as media types call it."""
        return "otf" if self.path.suffix.lower() == ".otf" else "ttf"


def used_fonts(parts: Iterable[object], setter: Typesetter) -> list[Used]:
    """Return the fonts that set the texts of a sheet, with the letters that each sets."""
    found: dict[tuple[Path, Face], set[str]] = {}
    for part in parts:
        text, face = getattr(part, "text", None), getattr(part, "face", None)
        if not isinstance(text, str) or not isinstance(face, Face):
            continue
        for piece in setter.line(text, face).pieces:
            key = setter.chain(face)[piece.font], face
            found.setdefault(key, set()).update(piece.text)
    return [
        Used(path, family_of(path), WEIGHTS[face.weight], face.style, "".join(sorted(letters)))
        for (path, face), letters in sorted(
            found.items(),
            key=lambda item: (str(item[0][0].name), item[0][1].weight, item[0][1].style),
        )
    ]


@cache
def family_of(path: Path) -> str:
    """Return the name of a font's family as the font gives it, without signs of CSS or XML."""
    from fontTools.ttLib import TTFont

    with broken_as_fault(path), TTFont(path, fontNumber=0, lazy=True) as font:
        names = font["name"]
        found = names.getBestFamilyName()
    return " ".join(re.sub(r"[^\w -]", " ", str(found or path.stem)).split()) or "further"


@contextmanager
def broken_as_fault(path: Path) -> Iterator[None]:
    """Turn what fontTools says of a broken font into a fault that names the file."""
    from struct import error

    from fontTools.ttLib import TTLibError

    try:
        yield
    except (TTLibError, KeyError, error, AssertionError) as fault:
        raise StudyError(
            f"wheel.fonts: {path.name}: is broken or no font. Name another .ttf or .otf file."
        ) from fault


@cache
def subset_of(used: Used) -> bytes:
    """Return a font file with the letters that are used and what shaping them needs."""
    from fontTools import subset

    logging.getLogger("fontTools.subset").setLevel(logging.ERROR)  # tables of editors are dropped
    options = subset.Options()
    options.recalc_timestamp = False
    options.font_number = 0  # of a collection, as everywhere
    options.hinting = False
    options.name_IDs = ["*"]
    options.notdef_outline = True
    cut = subset.Subsetter(options)
    # a shaper takes some letters apart that are written as one
    cut.populate(text=used.letters + unicodedata.normalize("NFKD", used.letters))
    held = io.BytesIO()
    with (
        broken_as_fault(used.path),
        subset.load_font(str(used.path), options, dontLoadGlyphNames=True) as font,
    ):
        cut.subset(font)
        subset.save_font(font, held, options)
    return held.getvalue()
