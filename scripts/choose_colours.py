"""Step: choose and check the colour of every class, subclass and term."""

from felloe.colours.choice import ColourRules, choose_colours, measure
from felloe.colours.picks import TwoGroups
from felloe.ground.tables import read_table, write_table

COLUMNS = [
    "tier",
    "term",
    "picked",
    "used",
    "delta_e_2000",
    "n_picks",
    "reason",
    "text_colour",
    "contrast_ratio",
    "spread",
    "bimodal",
    "second_picked",
    "outline",
    "paper_contrast",
    "min_delta_e_neighbour",
    "min_delta_e_pair",
    "min_delta_e_simulated",
    "hardest_vision",
]


def main(*, picks, published, order, settings, colours):
    """Read picks, tiers and order; choose, measure, write."""
    ring = [(row["term"], row["subclass"], row["class"]) for row in read_table(order)]
    absorbed = [
        (row["term"], row["subclass"], row["class"])
        for row in read_table(published)
        if row["absorbed"] == "yes"
    ]
    picked = {}
    for row in read_table(picks):
        picked.setdefault(row["term"], []).append(row["colour"])
    rules = ColourRules(**{**settings, "two_groups": TwoGroups(**settings["two_groups"])})
    ring_order = {
        "class": list(dict.fromkeys(row[2] for row in ring)),
        "subclass": list(dict.fromkeys(row[1] for row in ring)),
        "term": [row[0] for row in ring],
    }
    write_table(
        colours, COLUMNS, measure(choose_colours(ring, absorbed, picked, rules), ring_order)
    )


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
