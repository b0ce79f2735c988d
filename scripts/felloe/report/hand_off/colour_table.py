"""The colours of a chart, one a row: what designers and other programs take from it."""

from felloe.colours.spaces import lab_of_hex
from felloe.ground.files.tables import Row
from felloe.report.chart import Record, chart_terms


def colour_rows(chart: Record) -> list[Row]:
    """
    Return every colour of a chart.

    Parameters
    ----------
    chart : dict
        As returned by `felloe.report.chart.assemble_chart`.

    Returns
    -------
    list of dict
        Rows of `report/colour_table.csv`: classes, subclasses, then terms, also those that gave
        their group its name; each in order around the circle.
    """
    subclasses = [part for class_ in chart["classes"] for part in class_["subclasses"]]
    terms = [term for *_, term in chart_terms(chart, with_absorbed=True)]
    return [
        *(colour_row("class", class_, class_["name"]) for class_ in chart["classes"]),
        *(colour_row("subclass", part, part["name"]) for part in subclasses),
        *(colour_row("term", term, term["label"]) for term in terms),
    ]


def colour_row(tier: str, entry: Record, label: str) -> Row:
    """Return the colour of one class, subclass or term as a row."""
    colour = entry["colour"]
    lightness, a, b = lab_of_hex([colour["used"]])[0].tolist()
    return {
        "tier": tier,
        "id": entry["id"],
        "label": label,
        "colour": colour["used"],
        "lightness": lightness,
        "a": a,
        "b": b,
        "text_colour": colour["text"],
        "contrast_ratio": colour["contrast_ratio"],
    }
