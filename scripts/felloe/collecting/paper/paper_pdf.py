"""The paper set as PDF: A4 with live text and subset fonts, the same bytes each time."""

from collections.abc import Iterable, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from felloe.collecting.asked import Asked
from felloe.collecting.paper.flowing import HEIGHT, WIDTH, Typeset
from felloe.collecting.paper.paper_set import paper_sheets
from felloe.errors import StudyError
from felloe.ground.files.writing import UNDATED
from felloe.report.cards.lettering import Lettering
from felloe.report.cards.letters import spelt
from felloe.report.cards.pdf import draw
from felloe.report.cards.pieces import CardSheet, Writing
from felloe.report.languages.language_words import interface_words
from felloe.report.typeface.quadratic import as_truetype

if TYPE_CHECKING:
    from fpdf import FPDF

NAMED = 12  # texts that one screen has room for


def paper_pdf(asked: Asked, lettering: Lettering) -> bytes:
    """
    Draw the paper set of one person.

    Parameters
    ----------
    asked : Asked
    lettering : Lettering

    Returns
    -------
    bytes
    """
    sheets = paper_sheets(asked, Typeset(lettering))
    with TemporaryDirectory() as folder:
        pdf = blank(asked, styles_of(sheets, lettering), lettering, Path(folder))
        draw(pdf, sheets, lettering)
        return bytes(pdf.output())


def styles_of(sheets: Iterable[CardSheet], lettering: Lettering) -> list[str]:
    """Return the styles that something is set in, in the order of the fonts."""
    used = {
        style
        for sheet in sheets
        for piece in sheet.pieces
        if isinstance(piece, Writing)
        for style, _ in lettering.runs(piece.text, piece.style)
    }
    return [style for style in lettering.paths if style in used]


def blank(asked: Asked, styles: Sequence[str], lettering: Lettering, folder: Path) -> "FPDF":
    """Return a document without pages, with its title, language and fonts; some from a folder."""
    from fpdf import FPDF

    words = interface_words(asked.language)
    pdf = FPDF(unit="mm", format=(WIDTH, HEIGHT))
    pdf.set_creation_date(UNDATED)
    pdf.set_title(words.fill("kit.paper.title", title=asked.title))
    pdf.set_lang(asked.language)
    pdf.set_margin(0)
    pdf.c_margin = 0
    pdf.set_auto_page_break(False)
    made: dict[Path, Path] = {}
    for style in styles:
        path = lettering.paths[style]
        made[path] = made.get(path) or as_truetype(path, folder)
        pdf.add_font(style, fname=made[path])
    pdf.set_text_shaping(True)
    return pdf


def check_letters(asked: Iterable[Asked], lettering: Lettering) -> None:
    """
    Refuse texts with letters that no font has.

    Raises
    ------
    StudyError
        With the texts concerned, their letters, and what to do.
    """
    found: dict[str, set[str]] = {}
    for text, (owner, weight) in texts_of(asked).items():
        if lacking := lettering.lacking(text, weight):
            found.setdefault(owner, set()).update(lacking)
    if found:
        lines = [f"  {owner}: {spelt(letters)}" for owner, letters in found.items()]
        hidden = len(lines) - NAMED
        lines = [*lines[:NAMED], *([f"  ... and {hidden} more."] if hidden > 0 else [])]
        raise StudyError(
            "The paper set cannot be set, so no kit is made: no font at hand has these letters.\n"
            + "\n".join(lines)
            + "\nPut a font file that has them into the study's folder and name it under "
            "`wheel.fonts` in the settings, or write these texts in other letters."
        )


def texts_of(asked: Iterable[Asked]) -> dict[str, tuple[str, str]]:
    """Return every text that is set, with its owner and weight, each once."""
    found: dict[str, tuple[str, str]] = {}
    for each in asked:
        found[each.title] = ("the title", "strong")
        found[each.instruction] = ("the instruction", "strong")
        for value in vars(each.consent).values():
            if isinstance(value, str):
                found.setdefault(value, (f"the consent text ({each.language})", "plain"))
        for card in each.cards:
            found[card.label] = (f"term {card.term}", "strong")
            found.setdefault(card.definition, (f"definition of {card.term}", "plain"))
    return found
