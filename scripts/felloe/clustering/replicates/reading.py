"""The people of the chart as steps read them, to be redrawn."""

from pathlib import Path

from felloe.clustering.replicates.redraws import Basis, make_basis
from felloe.comparison.chart import read_chart_source
from felloe.ground.terms import Terms, check_same
from felloe.validation.analysed import read_analysed


def read_basis(
    sorts: str | Path, chart: str | Path, terms: Terms, whose: str, prior: float | None = None
) -> Basis:
    """
    Read the sorts that the chart is made from, as they are redrawn.

    Parameters
    ----------
    sorts, chart : str or Path
        `validation/analysed.csv` and `comparison/chart.json`.
    terms : Terms
        Of what the redraws will be held against.
    whose : str
        What these are the terms of, for the message.
    prior : float, optional
        Of partial sorts.

    Returns
    -------
    Basis

    Raises
    ------
    DifferentTerms
        If the sorts are about other terms.
    """
    read, source = read_analysed(sorts, prior), read_chart_source(chart)
    check_same(terms, read.terms, whose, "the sorts")
    return make_basis(read.piles, read.populations, source.source, source.weights, read.prior)
