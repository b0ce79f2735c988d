"""The font files of the cards, by style; the same as those of the sheet."""

from collections.abc import Sequence
from pathlib import Path

from felloe.report.typeface import faces

WEIGHTS = {"plain": faces.PLAIN, "strong": faces.BOLD}


def font_files(further: Sequence[str | Path] = ()) -> dict[str, Path]:
    """
    Return the font file of every style.

    Parameters
    ----------
    further : sequence of path
        The study's own font files.

    Returns
    -------
    dict of str to Path
        `plain`, `plain-1`, ... in the order in which a letter is looked for; `strong` likewise.
    """
    return {
        f"{weight}-{place}" if place else weight: path
        for weight, face in WEIGHTS.items()
        for place, path in enumerate(faces.font_files(face, tuple(further)))
    }
