"""The tables of colours, each declared once."""

from felloe.ground.files.tables import Column, Table

COLOURS = Table(
    "circle/colours.csv",
    "The colour of every class, subclass and term.",
    (
        Column("tier", "text", "class, subclass or term"),
        Column("term", "id", "id within the tier"),
        Column("picked", "colour", "colour that people picked"),
        Column("used", "colour", "colour on the chart"),
        Column("delta_e_2000", "number", "difference of the two", unit="CIEDE2000"),
        Column("n_picks", "count", "number of picks", unit="picks"),
        Column(
            "reason",
            "text",
            "why the used colour is what it is: as_picked; separated or partly_separated (moved "
            "from other classes, far enough or as far as possible); palette (a class without "
            "picks); shade (of a subclass); tint_unpicked, tint_two_groups, tint_far (a term "
            "without picks, with picks in two groups, with a pick too far from its subclass)",
        ),
        Column(
            "shade", "count", "place among the shades of its class, from 1, dark to light", "rank"
        ),
        Column("n_shades", "count", "shades of its class", "shades"),
        Column(
            "delta_e_subclass",
            "number",
            "difference of a term's pick from its subclass",
            unit="CIEDE2000",
        ),
        Column("text_colour", "colour", "colour of the lettering"),
        Column("contrast_ratio", "number", "contrast of lettering and ground", unit="ratio"),
        Column(
            "spread",
            "number",
            "mean difference of the picks from the picked colour",
            unit="CIEDE2000",
        ),
        Column(
            "bimodal",
            "yes/no",
            "whether the picks fall into two camps, so that one colour does not speak for them",
        ),
        Column("second_picked", "colour", "picked colour of the other camp"),
        Column("outline", "colour", "colour of the sector's outline"),
        Column("paper_contrast", "number", "contrast of ground and paper", unit="ratio"),
        Column(
            "min_delta_e_neighbour",
            "number",
            "least difference from a neighbour on the ring",
            unit="CIEDE2000",
        ),
        Column(
            "min_delta_e_pair", "number", "least difference from any other class", unit="CIEDE2000"
        ),
        Column(
            "min_delta_e_simulated",
            "number",
            "least difference from any other class as seen with a colour-vision deficiency, "
            "simulated",
            unit="CIEDE2000",
        ),
        Column("hardest_vision", "text", "the deficiency for which it is least"),
    ),
)

TABLES = (COLOURS,)
