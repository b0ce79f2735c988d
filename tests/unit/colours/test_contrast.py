"""Contrast against the examples of the W3C, and the worst background there is."""

import csv
import math
from pathlib import Path

import pytest
from felloe.colours.contrast import (
    BORDER_CONTRAST,
    contrast_ratio,
    outline_colour,
    relative_luminance,
    text_colour,
)

# W3C ACT rule afw4f7 and WCAG 2, Understanding 1.4.3; sources stand in each row.
PUBLISHED = Path(__file__).parents[2] / "references" / "data" / "wcag_contrast_examples.csv"


def published_examples():
    with open(PUBLISHED, encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


@pytest.mark.parametrize("row", published_examples(), ids=lambda row: row["foreground"])
def test_contrast_ratio_of_the_published_examples(row):
    ratio = contrast_ratio(row["foreground"], row["background"])
    assert ratio == pytest.approx(float(row["computed_ratio"]), abs=1e-9)


@pytest.mark.parametrize(
    "row",
    [row for row in published_examples() if row["stated_ratio"]],
    ids=lambda row: row["source"],
)
def test_truncated_ratios_are_those_the_w3c_states(row):
    stated = row["stated_ratio"]
    digits = len(stated.partition(".")[2])
    ratio = contrast_ratio(row["foreground"], row["background"])
    assert math.floor(ratio * 10**digits) / 10**digits == float(stated)


def test_the_ratio_just_below_the_limit_is_not_rounded_up_to_it():
    # #777777 on white: 4.478, fails; the formula's value stands in the published examples
    assert contrast_ratio("#777777", "#ffffff") < 4.5


def test_text_is_always_readable_at_four_and_a_half():
    # every grey and a coarse cube of colours; 4.5826 is the least that the formula allows
    levels = [f"{level:02x}" for level in range(0, 256, 17)]
    cube = [f"#{r}{g}{b}" for r in levels for g in levels for b in levels]
    greys = [f"#{level:02x}{level:02x}{level:02x}" for level in range(256)]
    assert min(text_colour(colour)[1] for colour in [*cube[::7], *greys]) >= 4.5


def test_the_best_of_black_and_white_is_worst_where_both_are_equal():
    # (1.05 / (L + .05)) = ((L + .05) / .05) at L = sqrt(.0525) - .05 = 0.1791, ratio 4.5826
    greys = [f"#{level:02x}{level:02x}{level:02x}" for level in range(256)]
    best = {g: max(contrast_ratio(g, "#000000"), contrast_ratio(g, "#ffffff")) for g in greys}
    worst = min(best, key=best.get)
    assert relative_luminance([worst])[0] == pytest.approx(0.1791, abs=0.005)
    assert best[worst] == pytest.approx(4.5826, abs=0.05)


@pytest.mark.parametrize("fill", ["#f7e27a", "#ffffff", "#c9d8b0", "#7a1f2b", "#000000", "#949494"])
def test_every_segment_has_a_border_to_be_told_by(fill):
    outline = outline_colour(fill)
    assert contrast_ratio(outline, "#ffffff") >= BORDER_CONTRAST
    assert outline == fill or contrast_ratio(outline, fill) >= BORDER_CONTRAST
