"""The populations' own charts in the colours of the published one: what they need is read here."""

from collections.abc import Sequence

from felloe.circle.own.figure_own_charts import OwnCharts, OwnView
from felloe.circle.own.own_chart_words import classes_of, title_of
from felloe.circle.tables import from_a_boundary
from felloe.colours.classes import class_colours
from felloe.colours.tables import COLOURS
from felloe.comparison.chart import read_chart_source
from felloe.ground.files.records import read_json
from felloe.ground.files.tables import Row
from felloe.tiers.tables import PUBLISHED
from felloe.validation.tables import TERMS


def own_charts_view(
    rows: Sequence[Row],
    *,
    published: str,
    colours: str,
    terms: str,
    about: str,
    dossier: str,
    whose: str,
) -> OwnCharts:
    """
    Put together what the figure shows.

    Parameters
    ----------
    rows : sequence of dict
        Of `circle/own_charts.csv`.
    published, colours, terms, about, dossier, whose : path
        `tiers/published.csv`, `circle/colours.csv`, `validation/terms.csv`,
        `validation/study.json`, `comparison/populations.json` and `comparison/chart.json`.
    """
    names = {row["class"]: row["class_name"] for row in PUBLISHED.read(published)}
    labels = {row["term"]: row["label"] or row["term"] for row in TERMS.read(terms)}
    called, people = read_json(about)["populations"], read_json(dossier)["n_people"]
    shades = class_colours(list(names), COLOURS.read(colours))
    around = {
        name: in_one_turn([row for row in rows if row["population"] == name])
        for name in dict.fromkeys(row["population"] for row in rows)
    }
    return OwnCharts(
        rings=tuple(
            OwnView(
                title_of(called[name], people[name]), ring, classes_of(ring, name, names, labels)
            )
            for name, ring in around.items()
        ),
        labels=labels,
        colours=dict(zip(names, shades, strict=True)),
        provisional=read_chart_source(whose).provisional,
    )


def in_one_turn(rows: list[Row]) -> list[Row]:
    """Return the rows of a ring from where a class begins, degrees rising past 360."""
    begun = from_a_boundary(rows)
    first = begun[0]["start_deg"]
    return [
        {
            **row,
            "start_deg": row["start_deg"] + 360.0 * (row["start_deg"] < first),
            "end_deg": row["end_deg"] + 360.0 * (row["start_deg"] < first),
        }
        for row in begun
    ]
