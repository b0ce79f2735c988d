"""Step: all universes in one table, and how many of them give each term its published class."""

from felloe.comparison.chart import read_chart_source
from felloe.ground.files.records import read_json
from felloe.ground.groups.partition import Partition
from felloe.sensitivity.tables import UNIVERSES, write_terms
from felloe.sensitivity.universes import numbered, shares
from felloe.sensitivity.weighting import chart_weighting
from felloe.tiers.tables import PLACES


def main(
    *,
    parts: list[str],
    places: str,
    chart: str,
    summary: str,
    linkage: str,
    universes: str,
    terms: str,
) -> None:
    """Number the universes, mark the chart's own, and write the share for every term."""
    own = {
        "screening": "as_configured",
        "weighting": chart_weighting(read_chart_source(chart).weights),
        "linkage": linkage,
        "n_classes": read_json(summary)["classes"]["number"],
    }
    rows = numbered([row for part in parts for row in UNIVERSES.read(part)], own)
    classes = Partition.of_rows(PLACES.read(places), "class")
    share = shares([row["terms_changing"] for row in rows], classes.terms)
    UNIVERSES.write(universes, rows)
    write_terms(terms, classes, share, len(rows))


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
