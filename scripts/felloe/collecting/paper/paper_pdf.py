"""The paper set as PDF: A4 with live text and subset fonts, the same bytes each time."""

from collections.abc import Iterable, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from felloe.collecting.asked import Asked
from felloe.collecting.paper.flowing import HEIGHT, WIDTH, Typeset
from felloe.collecting.paper.paper_set import paper_sheets
from felloe.report.cards.lettering import Lettering
from felloe.report.cards.letters import refuse_letters
from felloe.report.cards.pdf import draw, empty
from felloe.report.cards.pieces import CardSheet, Writing
from felloe.report.languages.language_words import interface_words

if TYPE_CHECKING:
    from fpdf import FPDF


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
    fonts = {style: lettering.paths[style] for style in styles}
    pdf = empty((WIDTH, HEIGHT), asked.language, fonts, folder)
    pdf.set_title(interface_words(asked.language).fill("kit.paper.title", title=asked.title))
    return pdf


def check_letters(asked: Iterable[Asked], lettering: Lettering) -> None:
    """
    Refuse texts with letters that no font has.

    Raises
    ------
    StudyError
        With the texts concerned, their letters, and what to do.
    """
    texts = ((owner, text, weight) for text, (owner, weight) in texts_of(asked).items())
    refuse_letters("The paper set cannot be set, so no kit is made", texts, lettering)


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
