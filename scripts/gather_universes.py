"""Step: all universes in one table, and how many of them give each term its published class."""

from felloe.comparison.chart import read_chart_source
from felloe.ground.records import read_json
from felloe.ground.tables import read_table, write_table
from felloe.sensitivity.tables import read_universes, write_universes
from felloe.sensitivity.universes import shares

CHART_WEIGHTING = {"plain": "plain", "equal": "equal_groups"}


def main(*, parts, published, chart, summary, linkage, universes, terms):
    """Number the universes, mark the chart's own, and write the share for every term."""
    chart = read_chart_source(chart)
    own = {
        "screening": "as_configured",
        "weighting": CHART_WEIGHTING[chart.weights],
        "linkage": linkage,
        "n_classes": read_json(summary)["classes"]["number"],
    }
    rows = [row for part in parts for row in read_universes(part)]
    for number, row in enumerate(rows, 1):
        row["universe"] = number
        row["is_chart"] = all(row[name] == value for name, value in own.items())
    home = {row["term"]: row["class"] for row in read_table(published)}
    place = {term: one for one, term in enumerate(home)}
    share = shares([[place[term] for term in row["terms_changing"]] for row in rows], len(home))
    for row in rows:
        row["terms_changing"] = ";".join(row["terms_changing"])
    write_universes(universes, rows)
    columns = ["term", "class", "share_of_universes", "n_universes"]
    write_table(terms, columns, [(*item, one, len(rows)) for item, one in zip(home.items(), share)])


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
