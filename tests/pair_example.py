"""Two invented charts of editions that share most terms, some of which moved."""

from chart_example import chart_of
from felloe.editions.correspondence import match_classes
from felloe.editions.tables import TERMS
from felloe.report.chart import chart_terms

GERMAN = (
    "Sauerkrautsaft", "nasse Wellpappe", "Gewürznelke", "rohe Rote Bete", "geröstete Zwiebel",
    "Kühlschrankgeruch", "Lösungsmittel", "frisch geschnittenes Gras", "Blumenkohl, gekocht",
    "Getreidekaffee", "überreife Honigmelone", "Schwefelhölzchen", "Süßholz", "Kellermuff",
    "eingelegte Salzzitrone", "Kuhstall", "Buttermilch", "Wacholderbeere", "Haselnusshaut",
)  # fmt: skip
GRADES = ("robust", "possible", "noise")


def german(count):
    """Return labels as German has them: compounds, umlauts, two words and more."""
    rounds = ("", " mild", " stark", " jung", " alt", " warm", " kalt", " hell")
    return tuple(word + more for more in rounds for word in GERMAN)[:count]


def in_german(chart):
    """Return a chart whose classes have long German names."""
    names = (
        "Säuerlich und milchsauer", "Früchte und Süßes", "Grünes, Kräuter und Blätter",
        "Gewürze und Schärfe", "Fehlaromen und Verdorbenes", "Umami", "Erdig, holzig, rauchig",
        "Bitter", "Mundgefühl", "Tierisches", "Blumiges", "Sonstiges",
    )  # fmt: skip
    for class_, name in zip(chart["classes"], names, strict=False):
        class_["name"] = name
    return chart


def place_of(chart):
    """Return the class and its name of every term of a chart."""
    return {
        term["id"]: (class_["id"], class_["name"], term["label"])
        for class_, _, term in chart_terms(chart, with_absorbed=True)
    }


def rows_of(older, newer, moved):
    """Return rows of the editions' `terms.csv`; `moved` are grades by the terms' ids."""
    blank = dict.fromkeys(TERMS.names)
    before, after = place_of(older), place_of(newer)
    rows = []
    for term in sorted({*before, *after}):
        there, here = before.get(term), after.get(term)
        row = blank | {"term": term, "migration": moved.get(term, "none")}
        row["change"] = "kept" if there and here else "new" if here else "retired"
        if there:
            row |= {"term_older": term, "class_older": there[0], "class_name_older": there[1]}
            row |= {"label_older": there[2], "label": there[2]}
        if here:
            row |= {"class_newer": here[0], "class_name_newer": here[1], "label": here[2]}
        rows.append(row)
    return rows


def record_of(rows, adrift=(), preview=False):
    """Return what `comparison.json` tells of two such editions; `adrift` are older classes."""
    common = [row for row in rows if row["change"] == "kept"]
    older, newer = ([row[f"class_{side}"] for row in common] for side in ("older", "newer"))
    found = match_classes(older, newer) if common else None
    pairs = [
        {
            "older": a,
            "newer": b,
            "relation": "no_correspondence" if a in adrift else found.relation(a, b),
        }
        for a, b in sorted(set(zip(older, newer, strict=True)))
    ]
    return {
        "older": {"edition": "2016", "provisional": False},
        "newer": {"edition": "2026", "provisional": False},
        "classes": pairs,
        "preview": preview,
    }


def pair_example(folder, older, newer, moved=(), adrift=(), **marks):
    """Return (record, rows, older chart, newer chart); `older` and `newer` say what they hold."""
    charts = []
    for name, options in (("older", older), ("newer", newer)):
        (folder / name).mkdir()
        charts.append(chart_of(folder / name, **options))
    charts[0]["edition"], charts[1]["edition"] = "2016", "2026"
    rows = rows_of(*charts, dict(moved))
    return record_of(rows, adrift, **marks), rows, *charts


def moved(*numbers):
    return {f"t{number:03d}": GRADES[at % 3] for at, number in enumerate(numbers)}


def of(n_classes, n_terms, **more):
    return {"n_classes": n_classes, "n_terms": n_terms, **more}


def small_pair(folder):
    """Return a pair of few terms, three of them moved."""
    older, newer = of(3, 14, absorb=False), of(4, 16, absorb=False)
    return pair_example(folder, older, newer, moved(1, 9, 4))
