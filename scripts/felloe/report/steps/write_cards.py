"""Step: write the cards for the tasting table, as sheets and as a page."""

from pathlib import Path

from felloe.ground.files.records import read_json
from felloe.ground.files.writing import write_bytes, write_text
from felloe.report.cards.deck import deck_of
from felloe.report.cards.fonts import font_files
from felloe.report.cards.lettering import Lettering
from felloe.report.cards.letters import check_letters
from felloe.report.cards.page import cards_page
from felloe.report.cards.pdf import cards_pdf
from felloe.report.chart import read_chart
from felloe.report.languages.language_words import interface_words


def main(*, chart: str, about: str, fonts: list[str], page: str, sheets: str) -> None:
    """Read the chart and what is said of the study, write both forms."""
    drawn_chart = read_chart(chart)
    if notice := interface_words(drawn_chart["language"]).notice:
        print(notice)
    deck = deck_of(drawn_chart, read_json(about))
    lettering = Lettering(font_files(fonts))
    check_letters(deck, lettering)
    wheel = Path(page).name.replace("cards", "wheel", 1)
    drawn, told = cards_pdf(deck, lettering), cards_page(deck, lettering, wheel)
    write_bytes(sheets, drawn)
    write_text(page, told)
