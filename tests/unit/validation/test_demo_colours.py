"""The invented picks of the demo: no colour that a name suggests, and classes told apart."""

import re
from itertools import combinations

import numpy as np
import pytest
from coloraide import Color
from demo_tables import STUDIES, planted_classes, read, terms_of

CVD = ("protan", "deutan", "tritan")


@pytest.mark.parametrize("study", STUDIES)
def test_colours_are_hexadecimal_and_picked_for_most_terms(study):
    rows = read(f"{study}/colours.csv")
    assert all(re.fullmatch(r"#[0-9a-f]{6}", row["colour"]) for row in rows)
    assert len({row["respondent"] for row in rows}) == 12
    assert len({(row["term"], row["respondent"]) for row in rows}) == len(rows)
    assert 0.85 <= len({row["term"] for row in rows}) / len(terms_of(study)) < 1


# what most people expect of a name, as hues of CIELAB from red (20) by yellow (100), green (150)
# and blue (270) to pink (350); from common sense, and wide
EXPECTED = {
    "taste": [(80, 135)],
    "sour": [(80, 135)],
    "fruit": [(320, 360), (0, 125)],
    "green": [(105, 190)],
    "spice": [(10, 100)],
    "pungent": [(80, 180), (290, 345)],
    "off": [(30, 170)],
    "savoury": [(10, 90)],
    "salt": [(190, 290)],
}


def picked_by_class(study):
    """The mean of the picks of every planted class, in CIELAB by coloraide."""
    home = {term: class_ for term, class_ in planted_classes(study).items() if class_}
    picks = {}
    for row in read(f"{study}/colours.csv"):
        if row["term"] in home:
            lab = Color(row["colour"]).convert("lab-d65").coords()
            picks.setdefault(home[row["term"]], []).append(lab)
    return {name: Color("lab-d65", np.mean(labs, axis=0)) for name, labs in picks.items()}


@pytest.mark.parametrize("study", STUDIES)
def test_no_class_is_picked_in_the_hue_that_its_name_suggests(study):
    picked = picked_by_class(study)
    hues = {name: colour.convert("lch-d65")["hue"] for name, colour in picked.items()}
    met = [
        name
        for name, hue in hues.items()
        if any(low <= hue <= high for low, high in EXPECTED.get(name, ()))
    ]
    assert set(hues) <= {*EXPECTED, "texture"}  # of bite nobody expects a hue
    assert met == []


@pytest.mark.parametrize("study", STUDIES)
@pytest.mark.parametrize(("vision", "least"), [(None, 10), *((v, 4) for v in CVD)])
def test_classes_are_told_apart_by_their_picks(study, vision, least):
    # 10 and 4 are `colours.minimum_delta_e` and `minimum_delta_e_simulated` of config.yaml
    colours = [colour.convert("srgb").clip() for colour in picked_by_class(study).values()]
    if vision:
        colours = [colour.filter(vision, method="machado").clip() for colour in colours]
    apart = [one.delta_e(other, method="2000") for one, other in combinations(colours, 2)]
    assert min(apart) >= least
