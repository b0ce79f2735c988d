"""The populations' own charts as rows of their table."""

from collections.abc import Mapping

from felloe.circle.own.own_charts import Alike, own_chart, own_distances
from felloe.circle.ring.rows import read_angles
from felloe.ground.files.tables import Row
from felloe.ground.groups.partition import Partition
from felloe.ground.people.counts import Counts
from felloe.tiers.tables import PUBLISHED


def own_chart_rows(
    counts: Mapping[str, Counts],
    published: str,
    order: str,
    method: str,
    gaps: Mapping[str, float],
) -> list[Row]:
    """
    Chart every population alone.

    Parameters
    ----------
    counts : mapping of str to Counts
        Of every population and of `POOLED`.
    published, order : path
        `tiers/published.csv` and `circle/order.csv`.
    method : str
        Linkage.
    gaps : mapping of str to float
        `gap_budget_deg` and `class_gap`.

    Returns
    -------
    list of dict
        Rows of `circle/own_charts.csv`, population by population.
    """
    rows = PUBLISHED.read(published)
    alike = Alike(
        classes=Partition.of_rows(rows, "class"),
        n_subclasses=len({row["subclass"] for row in rows}),
        method=method,
        angles=read_angles(order),
        **gaps,
    )
    return [
        row
        for name, distances in own_distances(counts).items()
        for row in own_chart(distances, alike).rows(name)
    ]
