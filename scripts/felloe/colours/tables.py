"""The tables of colours, each declared once."""

from felloe.ground.files.tables import Column, Table

COLOURS = Table(
    "circle/colours.csv",
    "The colour of every class, subclass and term.",
    (
        Column("tier", "text", "class, subclass or term"),
        Column("term", "id", "id within the tier"),
        Column(
            "picked",
            "colour",
            "the middle (mean in CIELAB) of what the people picked who are nearest to all; "
            "nobody's own",
        ),
        Column("used", "colour", "colour on the chart"),
        Column("delta_e_2000", "number", "difference of the two", unit="CIEDE2000"),
        Column("n_picks", "count", "number of picks; empty where too few to be told", unit="picks"),
        Column(
            "reason",
            "text",
            "why the used colour is what it is: as_picked; separated or partly_separated (moved "
            "from other classes, far enough or as far as possible); palette, "
            "palette_few (a class without picks, with too few to tell them); shade (of a "
            "subclass); tint_unpicked, tint_few, tint_two_groups, tint_far (a term without picks, "
            "with too few, with picks in two groups, too far from its subclass)",
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
            "mean difference of the picks from the one nearest to all, to one decimal: more would "
            "give single picks away",
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

OWN_CHARTS = Table(
    "circle/own_charts.csv",
    "Who stands where on each population's own chart, and how it stands to the published one.",
    (
        Column("population", "id", "population whose own chart it is"),
        Column("term", "id", "term, in order around the circle"),
        Column("class", "id", "class on the own chart: its alphabetically first term"),
        Column("subclass", "id", "subclass on the own chart"),
        Column("start_deg", "degrees", "start of the sector, clockwise from the top"),
        Column("end_deg", "degrees", "end of the sector"),
        Column(
            "matched_class",
            "id",
            "published class that the own class stands for; empty where none is left",
            unit="class id",
        ),
        Column("published_class", "id", "class of the term as published", unit="class id"),
        Column("differs", "yes/no", "whether the two differ"),
    ),
)

TABLES = (COLOURS, OWN_CHARTS)
