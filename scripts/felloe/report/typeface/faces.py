"""Which font files set which face: the bundled family, the study's own, and one that has signs."""

from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any, Literal

from felloe.errors import StudyError

_OF_FAMILY = {
    ("normal", "normal"): "Regular",
    ("bold", "normal"): "SemiBold",
    ("normal", "italic"): "Italic",
    ("bold", "italic"): "SemiBoldItalic",
}
_OF_BEHIND = {
    ("normal", "normal"): "",
    ("bold", "normal"): "-Bold",
    ("normal", "italic"): "-Oblique",
    ("bold", "italic"): "-BoldOblique",
}


@dataclass(frozen=True)
class Face:
    """How letters look; the family is the same all over the sheet."""

    weight: Literal["normal", "bold"] = "normal"
    style: Literal["normal", "italic"] = "normal"


PLAIN, BOLD = Face(), Face(weight="bold")
ITALIC, BOLD_ITALIC = Face(style="italic"), Face(weight="bold", style="italic")
FACES = (PLAIN, BOLD, ITALIC, BOLD_ITALIC)


@cache
def font_files(face: Face, further: tuple[str | Path, ...] = ()) -> tuple[Path, ...]:
    """
    Return the files that are tried for a letter, in order.

    Parameters
    ----------
    face : Face
    further : tuple of path
        The study's own font files, of one weight each; they stand in for every face.

    Returns
    -------
    tuple of Path
    """
    key = face.weight, face.style
    family = files("fontpkg_fira_sans_condensed") / "files"
    own = Path(str(family)) / f"FiraSansCondensed-{_OF_FAMILY[key]}.ttf"
    upright = (_OF_BEHIND[key], _OF_BEHIND[face.weight, "normal"])  # more scripts than slanted
    behind = [behind_folder() / f"DejaVuSans{one}.ttf" for one in dict.fromkeys(upright)]
    return own, *map(Path, further), *behind


@cache
def opened(path: Path) -> Any:
    """
    Return the shaping engine's font of a file.

    Raises
    ------
    StudyError
        If it cannot be read or is no font.
    """
    import uharfbuzz

    try:
        face = uharfbuzz.Face(uharfbuzz.Blob.from_file_path(str(path)))
    except (OSError, uharfbuzz.HarfBuzzError) as error:
        raise StudyError(
            f"wheel.fonts: {path}: cannot be read. Name a font file (.ttf, .ttc or .otf)."
        ) from error
    if not face.glyph_count:
        raise StudyError(f"wheel.fonts: {path}: is no font. Name a .ttf, .ttc or .otf file.")
    return uharfbuzz.Font(face)


def behind_folder() -> Path:
    """Return the folder of DejaVu Sans; matplotlib, which brings it, is not imported for it."""
    from importlib.util import find_spec

    found = find_spec("matplotlib")
    if found is None or not found.submodule_search_locations:
        raise ImportError("matplotlib is not installed")
    return Path(found.submodule_search_locations[0]) / "mpl-data" / "fonts" / "ttf"
