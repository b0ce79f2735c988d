"""Step: write the interactive wheel as one page."""

from felloe.ground.files.writing import write_text
from felloe.report.chart import read_chart
from felloe.report.languages.language_words import interface_words
from felloe.report.screen.wheel_page import wheel_page
from felloe.report.typeface.shaping import typesetter


def main(
    *, chart: str, fonts: list[str], weak: float, languages: dict[str, str], page: str
) -> None:
    """Read the chart, write the page."""
    drawn = read_chart(chart)
    words = interface_words(drawn["language"])
    if words.notice:
        print(words.notice)
    write_text(page, wheel_page(drawn, typesetter(tuple(fonts)), weak, words, languages))
