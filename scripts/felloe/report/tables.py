"""The table of what whoever draws a chart anew needs, declared once."""

from felloe.ground.files.tables import Column, Table

COLOUR_TABLE = Table(
    "report/colour_table.csv",
    "Every colour of the chart for whoever draws it anew; classes, subclasses, terms, each in "
    "order around the circle.",
    (
        Column("tier", "text", "class, subclass or term"),
        Column("id", "id", "id within the tier"),
        Column("label", "text", "name of the class or subclass, label of the term"),
        Column("colour", "colour", "colour on the chart", unit="sRGB"),
        Column(
            "lightness",
            "number",
            "L* of the colour, 0 to 100; white is D65 (X 0.95047, Y 1, Z 1.08883), 2 degree "
            "observer, not the D50 of printers' profiles",
            unit="CIELAB",
        ),
        Column(
            "a",
            "number",
            "a* of the colour, green to red; white is D65, 2 degree observer",
            unit="CIELAB",
        ),
        Column(
            "b",
            "number",
            "b* of the colour, blue to yellow; white is D65, 2 degree observer",
            unit="CIELAB",
        ),
        Column("text_colour", "colour", "black or white: lettering on the colour", unit="sRGB"),
        Column(
            "contrast_ratio", "number", "contrast of lettering and colour, WCAG 2", unit="ratio"
        ),
    ),
)

TABLES = (COLOUR_TABLE,)
