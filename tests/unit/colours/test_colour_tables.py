"""The table of the colours is what it is declared to be."""

import csv
from itertools import product

import numpy as np
import pytest
from chart_example import write_example
from choose_colours import main as choose_colours
from felloe.colours.choice import picked_colour
from felloe.colours.difference import ciede2000
from felloe.colours.picks import summarise_picks
from felloe.colours.spaces import lab_of_hex
from felloe.colours.tables import COLOURS
from felloe.settings import DEFAULTS, read_yaml

PICKS = [
    ("t000", "#e3d64a", 3),
    ("t001", "#2b2f6b", 9),
    ("t040", "#5a2340", 5),
    ("t040", "#f0e24a", 5),
    ("t050", "#123456", 2),
    ("t060", "#3a7d44", 3),
    ("t060", "#5e9d37", 1),
]


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    folder = tmp_path_factory.mktemp("colours")
    paths = write_example(folder, picks=PICKS)
    choose_colours(
        picks=paths["picks"],
        places=paths["published"].with_name("places.csv"),
        order=paths["order"],
        settings=read_yaml(DEFAULTS)["colours"],
        smallest_cell=3,
        colours=paths["colours"],
    )
    return paths["colours"]


def test_what_was_read_is_written_with_the_same_bytes(written, tmp_path):
    COLOURS.write(tmp_path / "again.csv", COLOURS.read(written))
    assert (tmp_path / "again.csv").read_bytes() == written.read_bytes()


def test_a_subclass_knows_its_place_among_the_shades_of_its_class(written):
    shades = [row for row in COLOURS.read(written) if row["tier"] == "subclass"]
    assert all(1 <= row["shade"] <= row["n_shades"] for row in shades)


def test_no_respondent_is_named():
    assert "respondent" not in COLOURS.names


@pytest.mark.parametrize(("term", "n"), [("t000", 3), ("t001", 9), ("t040", 10)])
def test_every_pick_counts(written, term, n):
    rows = {row["term"]: row for row in COLOURS.read(written) if row["tier"] == "term"}
    assert rows[term]["n_picks"] == n


def test_what_fewer_people_picked_is_neither_told_nor_used(written):
    assert "#123456" not in written.read_text("utf-8")
    rows = {row["term"]: row for row in COLOURS.read(written) if row["tier"] == "term"}
    told = rows["t050"]
    assert (told["picked"], told["n_picks"], told["reason"]) == ("", None, "tint_few")


def test_the_sums_of_groups_do_not_tell_what_a_term_does_not(written):
    rows = COLOURS.read(written)
    for tier in ("class", "subclass", "term"):
        assert sum(row["n_picks"] or 0 for row in rows if row["tier"] == tier) == 3 + 9 + 10 + 4


def test_one_pick_does_not_follow_from_three_equal_ones_and_the_spread(written):
    with written.open(encoding="utf-8", newline="") as stream:
        (told,) = [r for r in csv.DictReader(stream) if (r["tier"], r["term"]) == ("term", "t060")]
    assert (told["picked"], told["n_picks"]) == ("#3a7d44", "4")
    half_a_digit = 0.5 * 10.0 ** -len(told["spread"].partition(".")[2])
    levels = range(0, 256, 8)
    tried = lab_of_hex([f"#{r:02x}{g:02x}{b:02x}" for r, g, b in product(levels, repeat=3)])
    spreads = ciede2000(tried, lab_of_hex([told["picked"]])) / 4
    fitting = np.abs(spreads - float(told["spread"])) <= half_a_digit
    assert fitting.sum() > 50  # of 512 times as many


def test_a_term_with_picks_in_two_groups_names_both(written):
    (row,) = [r for r in COLOURS.read(written) if (r["tier"], r["term"]) == ("term", "t040")]
    assert (row["bimodal"], {row["picked"], row["second_picked"]}) == (True, {"#f0e24a", "#5a2340"})


def test_no_picks_have_no_medoid():
    with pytest.raises(ValueError):
        picked_colour(summarise_picks([], 3))
