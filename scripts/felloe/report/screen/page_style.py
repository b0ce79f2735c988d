"""The style of the page: its tones in light and dark, the wheel's lines in both, its letters."""

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from felloe.colours.contrast import contrast_ratio
from felloe.ground.drawing import ACCENT, INK, MUTED, PAPER, RULE
from felloe.report.chart import Record
from felloe.report.screen.page_drawing import PageWheel
from felloe.report.sheet.shapes import leaves
from felloe.report.sheet.svg import fonts_style
from felloe.report.tones import DARK_TONES, TONES, scheme_variables
from felloe.report.typeface.faces import BOLD, ITALIC, PLAIN, Face
from felloe.report.typeface.shaping import Typesetter, clusters
from felloe.report.typeface.subsets import family_of, used_fonts

HERE = Path(__file__).parent
READS = ("report/screen/wheel.css",)
OF_SHEET = {"ink": INK, "muted": MUTED, "rule": RULE, "paper": PAPER, "accent": ACCENT}
SEEN = 3.0  # contrast of a line and its ground: WCAG 2, success criterion 1.4.11
TYPED = "".join(map(chr, range(0x21, 0x7F))) + "‘’“”–—…·×›°½"


@dataclass(frozen=True)
class Lettered:
    """Letters of the page beside the wheel."""

    text: str
    face: Face


def page_style(chart: Record, wheel: PageWheel, told: Iterable[str], setter: Typesetter) -> str:
    """
    Return the page's style.

    Parameters
    ----------
    chart : dict
        `chart.json`.
    wheel : PageWheel
    told : iterable of str
        What the page says beside the wheel, so that its letters are carried along.
    setter : Typesetter
    """
    lines = class_lines(chart)
    light = {**TONES, **{f"line-{at}": colour for at, colour in enumerate(lines)}}
    dark = {
        **DARK_TONES,
        **{f"line-{at}": dark_line(colour) for at, colour in enumerate(lines)},
    }
    used = used_fonts([*leaves(wheel.body), *letters(told, setter)], setter)
    there = {one.family for one in used}
    tried = dict.fromkeys(family_of(path) for path in setter.chain(PLAIN))
    families = ", ".join(f'"{name}"' for name in tried if name in there)
    return (
        scheme_variables(light, dark)
        + sheet_tones(lines)
        + fonts_style(used)
        + "\n"
        + (HERE / "wheel.css").read_text(encoding="utf-8")
        + f"body {{ font-family: {families}, system-ui, sans-serif; }}\n"
    )


def class_lines(chart: Record) -> list[str]:
    """Return the colours in which lines of classes are drawn, each once."""
    return list(dict.fromkeys(class_["colour"]["outline"] for class_ in chart["classes"]))


def dark_line(colour: str) -> str:
    """Return a line's colour on dark paper: lightened until it can be seen there."""
    parts = [int(colour[at : at + 2], 16) for at in (1, 3, 5)]
    for step in range(21):
        mixed = [round(part + (255 - part) * step / 20) for part in parts]
        lighter = "#" + "".join(f"{part:02x}" for part in mixed)
        if contrast_ratio(lighter, DARK_TONES["paper"]) >= SEEN:
            break
    return lighter


def sheet_tones(lines: Iterable[str]) -> str:
    """Return the rules that put the page's tones in place of the sheet's and of lines."""
    rules = []
    for name, tone in OF_SHEET.items():
        roles = f":is(.{name},.open)" if name in ("paper", "muted") else f".{name}"
        rules.append(f'.scene {roles}[fill="{tone}"] {{ fill: var(--{name}); }}')
        rules.append(f'.scene [stroke="{tone}"] {{ stroke: var(--{name}); }}')
    for at, colour in enumerate(lines):
        rules.append(f'svg [stroke="{colour}"] {{ stroke: var(--line-{at}); }}')
        rules.append(f'.joins [fill="{colour}"] {{ fill: var(--line-{at}); }}')
    return "\n".join(rules) + "\n"


def letters(told: Iterable[str], setter: Typesetter) -> list[Lettered]:
    """Return the letters of the page's own text that the family or the study's fonts have."""
    wanted = {letter for text in told for letter in clusters(text)} | set(TYPED)
    fonts = {letter: font_of(letter, setter) for letter in sorted(wanted)}
    family = [letter for letter, font in fonts.items() if font == 0]
    own = [letter for letter, font in fonts.items() if font and font <= len(setter.further)]
    return [
        *(Lettered(letter, face) for face in (PLAIN, BOLD, ITALIC) for letter in family),
        *(Lettered(letter, PLAIN) for letter in own),  # a study's font is of one weight
    ]


def font_of(letter: str, setter: Typesetter) -> int | None:
    """Return the place in the chain of the font that has a letter; None for blanks and marks."""
    if unicodedata.category(letter[0])[0] not in "LNPS":
        return None
    try:
        return setter.line(letter).pieces[0].font
    except ValueError:
        return None
