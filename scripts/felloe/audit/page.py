"""The page that shows two runs side by side."""

from collections.abc import Sequence

from felloe.audit import chart_words, content_words, pair_words, phrases, words
from felloe.audit.chart_changes import Effects, Move
from felloe.audit.comparison import Comparison
from felloe.audit.phrases import Sides
from felloe.audit.screen import RUN_SIDES
from felloe.report.filling import fill
from felloe.report.tones import css_variables

READS = ("audit/page.html.j2", "report/telling/frame.html.j2")
MOST_SHOWN = 20  # cells, entries or rows of one file
MOST_PAIRS = 40


def page_of_runs(comparisons: Sequence[Comparison], sides: Sides = RUN_SIDES) -> str:
    """
    Show two runs side by side: settings, what follows for the chart, files, cells.

    Parameters
    ----------
    comparisons : sequence of Comparison
    sides : (str, str)
        What the two runs are called; no paths of this machine, since the page may be passed on.

    Returns
    -------
    str
        HTML that needs no other file. It shows no cell of a table about single people.
    """
    return fill(
        "audit/page.html.j2",
        tones=css_variables(),
        comparisons=comparisons,
        sides=sides,
        words=words,
        phrases=phrases,
        content_words=content_words,
        chart_words=chart_words,
        pair_words=pair_words,
        moved_terms=moved_terms,
        most=MOST_SHOWN,
        most_pairs=MOST_PAIRS,
    )


def moved_terms(effects: Effects) -> list[tuple[str, dict[str, Move]]]:
    """Return the terms about which anything changed: label, and the moves by their kind."""
    found: dict[str, dict[str, Move]] = {}
    labels = {}
    for move in effects.moves:
        found.setdefault(move.term, {})[move.kind] = move
        labels[move.term] = move.label
    return [(labels[term], found[term]) for term in sorted(found)]
