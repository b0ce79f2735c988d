"""Step: the committee's open questions as a page and as a spreadsheet to fill in."""

from typing import Any

from felloe.ground.files.writing import write_bytes, write_text
from felloe.report.ballot.asking import Asking
from felloe.report.ballot.page import ballot_page
from felloe.report.ballot.sources import read_sources
from felloe.report.ballot.workbook import ballot_workbook
from felloe.report.languages.language_words import interface_words


def main(
    *, study: str, enough: float, limits: dict[str, int], page: str, workbook: str, **paths: Any
) -> None:
    """Read, ask, write both."""
    sources = read_sources(paths, study, enough)
    words = interface_words(sources.chart["language"])
    if words.notice:
        print(words.notice)
    questions = Asking(sources, words).questions()
    write_text(page, ballot_page(questions, sources, words, limits))
    write_bytes(workbook, ballot_workbook(questions, sources, words))
