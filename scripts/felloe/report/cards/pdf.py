"""The cards as PDF: sheets of A6 with live text and subset fonts, the same bytes each time."""

from collections.abc import Iterable, Mapping
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from felloe.ground.drawing import POINT_MM
from felloe.ground.files.writing import UNDATED
from felloe.report.cards.deck import Deck
from felloe.report.cards.lettering import Lettering
from felloe.report.cards.pieces import Box, CardPiece, CardSheet, Stroke, Writing
from felloe.report.cards.setting import HEIGHT, WIDTH, Setter
from felloe.report.typeface.quadratic import as_truetype

if TYPE_CHECKING:
    from fpdf import FPDF

FRAME_MM = 0.25
HAIR_MM = 0.15
DASHES = (1.2, 0.9)
BASE_LINE = 0.8  # of a cell as high as its text, in sizes: as fpdf2 sets it


def cards_pdf(deck: Deck, lettering: Lettering) -> bytes:
    """
    Draw the cards.

    Parameters
    ----------
    deck : Deck
    lettering : Lettering

    Returns
    -------
    bytes
        One page a sheet, of A6; the outline leads to classes and terms.
    """
    with TemporaryDirectory() as folder:
        pdf = blank(deck, lettering, Path(folder))
        draw(pdf, Setter(deck, lettering).sheets(), lettering)
        return bytes(pdf.output())


def blank(deck: Deck, lettering: Lettering, folder: Path) -> "FPDF":
    """Return a document without pages, with its title, language and fonts; some from a folder."""
    pdf = empty((WIDTH, HEIGHT), deck.language, lettering.paths, folder)
    pdf.set_title(f"{deck.words['cards.title']}: {deck.imprint}")
    if deck.marks:
        pdf.set_subject(" ".join(deck.marks))
    return pdf


def empty(
    size: tuple[float, float], language: str, fonts: Mapping[str, Path], folder: Path
) -> "FPDF":
    """
    Return a document without pages, on which everything stands where it is put.

    Parameters
    ----------
    size : (float, float)
        Width and height of a page, mm.
    language : str
        Tag.
    fonts : mapping of str to Path
        Font file of every style.
    folder : Path
        For fonts that have to be written in another form; it has to last as long as the document.
    """
    from fpdf import FPDF

    pdf = FPDF(unit="mm", format=size)
    pdf.set_creation_date(UNDATED)
    pdf.set_lang(language)
    pdf.set_margin(0)
    pdf.c_margin = 0
    pdf.set_auto_page_break(False)
    files = {path: as_truetype(path, folder) for path in dict.fromkeys(fonts.values())}
    for style, path in fonts.items():
        pdf.add_font(style, fname=files[path])
    pdf.set_text_shaping(True)
    return pdf


def draw(pdf: "FPDF", sheets: Iterable[CardSheet], lettering: Lettering) -> None:
    """Draw every sheet on a page of its own."""
    for sheet in sheets:
        pdf.add_page()
        if sheet.bookmark:
            pdf.start_section(sheet.bookmark, sheet.level)
        for piece in sheet.pieces:
            draw_piece(pdf, piece, lettering)


def draw_piece(pdf: "FPDF", piece: CardPiece, lettering: Lettering) -> None:
    """Draw one piece."""
    if isinstance(piece, Writing):
        draw_words(pdf, piece, lettering)
    elif isinstance(piece, Box):
        draw_box(pdf, piece)
    elif isinstance(piece, Stroke):
        pdf.set_line_width(piece.thickness)
        pdf.set_draw_color(piece.tone)
        pdf.line(piece.x, piece.y, piece.x + piece.width, piece.y)


def draw_words(pdf: "FPDF", words: Writing, lettering: Lettering) -> None:
    """Draw a line of text, stretch by stretch where its fonts change."""
    pdf.set_text_color(words.tone)
    # a line has the direction of its text, whatever its own first letter is
    pdf.set_text_shaping(True, direction="rtl" if words.to_the_left else "ltr")
    top = words.y - BASE_LINE * words.size * POINT_MM
    left = words.box(lettering)[0]
    for style, text in lettering.runs(words.text, words.style):
        pdf.set_font(style, size=words.size)
        pdf.set_xy(left, top)
        pdf.cell(pdf.w - left, words.size * POINT_MM, text, align="L")
        left += lettering.width(text, style, words.size)


def draw_box(pdf: "FPDF", box: Box) -> None:
    """Draw a rectangle."""
    pdf.set_line_width(HAIR_MM if box.fill else FRAME_MM)
    if box.fill:
        pdf.set_fill_color(box.fill)
    if box.frame:
        pdf.set_draw_color(box.frame)
    if box.dashed:
        pdf.set_dash_pattern(*DASHES)
    style = "DF" if box.fill and box.frame else "F" if box.fill else "D"
    pdf.rect(box.x, box.y, box.width, box.height, style=style)
    pdf.set_dash_pattern()
