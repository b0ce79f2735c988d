"""How every figure looks, and how it is saved with the same bytes each time."""

import io
import re
import warnings
from collections.abc import Iterable, Sequence
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from felloe.errors import StudyError
from felloe.ground.files.writing import write_bytes

if TYPE_CHECKING:
    from matplotlib.figure import Figure

# The tones of figures and pages alike.
INK = "#1f2421"
MUTED = "#59605c"
RULE = "#c9cec9"
PAPER = "#ffffff"
GROUND = "#f5f6f3"  # behind what is set apart on a page
ACCENT = "#7a3227"
GOOD = "#22603a"
WARNING = "#fbf1ee"  # behind a warning
MM = 1 / 25.4  # inches in a millimetre
POINT_MM = 25.4 / 72  # millimetres in a point of type
HINTED = 1.05  # letters of a bitmap stand on whole pixels and may take more room than drawn ones
PREVIEW = "PREVIEW: few replicates"
PREVIEW_MM = 1.8  # from the edges, so that it is on the paper when that is cut
# Twelve hues of similar lightness, for where no colour was chosen.
CLASS_CYCLE = (
    "#b5524b", "#5b7fb0", "#7d8f3a", "#a05a9c", "#3f8f86", "#bd7a2c",
    "#6f6ab8", "#4f9a55", "#b8507f", "#4a8fb5", "#9a8030", "#87649c",
)  # fmt: skip
_FURTHER: list[str] = []  # families of the study's own fonts
MISSING = re.compile(r"Glyph (\d+) .*missing from")
# What a figure can be saved as, and what is not to stand in its metadata.
UNDATED: dict[str, dict[str, str | None]] = {
    "svg": {"Date": None, "Creator": None},
    "pdf": {"CreationDate": None, "Creator": None, "Producer": None},
    "png": {"Software": None},
}
SETTINGS: dict[Any, Any] = {
    "svg.hashsalt": "felloe",
    "svg.fonttype": "path",
    "font.family": "DejaVu Sans",
    "font.size": 8,
    "axes.edgecolor": MUTED,
    "axes.labelcolor": INK,
    "axes.titlesize": 9,
    "axes.titleweight": "bold",
    "axes.titlelocation": "left",
    "axes.titley": 1.0,  # where it would stand anyhow; else every tick label is measured for it
    "axes.spines.top": False,
    "axes.spines.right": False,
    "xtick.color": MUTED,
    "ytick.color": MUTED,
    "text.color": INK,
    "figure.facecolor": PAPER,
    "savefig.facecolor": PAPER,
    "path.simplify": False,
}


def figure(width_mm: float, height_mm: float) -> "Figure":
    """
    Return an empty figure of a printed size.

    Parameters
    ----------
    width_mm, height_mm : float
        Millimetres.

    Returns
    -------
    matplotlib.figure.Figure
    """
    set_up()
    from matplotlib.figure import Figure

    return Figure(figsize=(width_mm * MM, height_mm * MM))


def set_up() -> None:
    """
    Have figures look as told here, whatever the surroundings tell.

    A `matplotlibrc` in the working folder, in the home or named by `MATPLOTLIBRC` is read when the
    library is imported; so start from the library's own defaults.
    """
    import matplotlib

    matplotlib.rcdefaults()
    matplotlib.use("Agg")
    matplotlib.rcParams.update(SETTINGS)
    if _FURTHER:
        matplotlib.rcParams["font.family"] = list(families())


def families() -> tuple[str, ...]:
    """Return the families of the figures' letters, in the order in which they are tried."""
    return SETTINGS["font.family"], *_FURTHER


def width_of(text: str, points: float, weight: str = "normal") -> float:
    """Return the width of a line of text in a figure, in millimetres."""
    return _width_of(text, points, weight, families())


@cache
def _width_of(text: str, points: float, weight: str, names: tuple[str, ...]) -> float:
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import text_to_path

    font = FontProperties(family=list(names), size=points, weight=weight)
    width, _, _ = text_to_path.get_text_width_height_descent(text, font, ismath=False)
    return float(width) * POINT_MM * HINTED


def use_fonts(paths: Iterable[str | Path]) -> None:
    """
    Have the figures of this process try font files for letters that the usual font lacks.

    Parameters
    ----------
    paths : iterable of path
        In the order in which they are tried; none for the usual font alone.

    Raises
    ------
    StudyError
        If a file is no font.
    """
    _FURTHER.clear()
    for path in paths:
        from matplotlib.font_manager import fontManager, get_font

        try:
            fontManager.addfont(path)
            family = get_font(path).family_name
        except (OSError, RuntimeError) as error:
            raise StudyError(
                f"wheel.fonts: {path}: is no font. Name a .ttf or .otf file."
            ) from error
        if family not in _FURTHER:
            _FURTHER.append(family)


def save_figure(
    fig: "Figure",
    paths: Sequence[str | Path],
    title: str = "",
    *,
    dpi: float = 150,
    artwork: bool = False,
    preview: bool = False,
) -> None:
    """
    Save a figure in several formats, without dates or versions.

    Parameters
    ----------
    fig : matplotlib.figure.Figure
    paths : sequence of str or Path
        Where it goes; each is written as its suffix says (`UNDATED`).
    title : str
        Goes into the metadata of each file.
    dpi : int
        Dots per inch of the PNG.
    artwork : bool
        For a printing house: whole TrueType outlines in the PDF (type 42), which other programs
        open as text. Else type 3, which takes a fraction of the time to write and looks the same.
    preview : bool
        Whether to write into the upper right corner that this is a preview.
    """
    import matplotlib

    matplotlib.rcParams["pdf.fonttype"] = 42 if artwork else 3
    rest_labels(fig)
    if preview:
        look: dict[str, Any] = {"ha": "right", "va": "top", "fontsize": 7, "weight": "bold"}
        wide, high = fig.get_size_inches()
        corner = 1 - PREVIEW_MM * MM / wide, 1 - PREVIEW_MM * MM / high
        fig.text(*corner, PREVIEW, color=ACCENT, zorder=20, backgroundcolor=PAPER, **look)
    named = {"Title": title} if title else {}
    for path in paths:
        kind, buffer = Path(path).suffix[1:], io.BytesIO()
        with warnings.catch_warnings(record=True) as caught:
            warnings.simplefilter("always")
            fig.savefig(buffer, format=kind, dpi=dpi, metadata={**UNDATED[kind], **named})
        refuse_boxes(caught, str(path))
        write_bytes(path, buffer.getvalue())


def refuse_boxes(caught: Iterable[warnings.WarningMessage], path: str) -> None:
    """
    Refuse a drawing with letters that no font has; pass other warnings on.

    Raises
    ------
    StudyError
        With the letters and what to do.
    """
    missing = []
    for warning in caught:
        found = MISSING.match(str(warning.message))
        if found:
            missing.append(chr(int(found[1])))
        else:
            warnings.warn_explicit(
                warning.message, warning.category, warning.filename, warning.lineno
            )
    if missing:
        letters = ", ".join(f"'{one}' (U+{ord(one):04X})" for one in dict.fromkeys(missing))
        raise StudyError(
            f"{path}: has letters that no font here has, {letters}. Put a font file that has "
            "them into the study's folder and name it under `wheel.fonts` in the settings."
        )


def rest_labels(fig: "Figure") -> None:
    """Fix the place of empty axis labels, else every tick label is measured to find it."""
    for ax in fig.axes:
        for axis in (ax.xaxis, ax.yaxis):
            if not axis.get_label_text():
                axis.set_label_coords(0.5, 0.5)
