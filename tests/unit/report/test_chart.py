"""chart.json: what it holds is what the results hold, by its own schema."""

import dataclasses
from pathlib import Path

import pytest
import yaml
from chart_example import LIMITS, chart_of, sources_of
from choose_colours import main as choose_colours
from felloe.circle.tables import ORDER, from_a_boundary
from felloe.colours.tables import COLOURS
from felloe.ground.files.tables import read_square
from felloe.ground.terms import DifferentTerms
from felloe.report.chart import (
    assemble_chart,
    chart_terms,
    read_chart,
    read_sources,
    write_chart,
)
from felloe.settings import DEFAULTS, read_yaml
from felloe.tiers.tables import PUBLISHED
from jsonschema import Draft202012Validator

SCHEMAS = Path(__file__).parents[3] / "workflow" / "schemas" / "records"
SCHEMA = SCHEMAS / "report.chart.schema.yaml"
__all__ = ["SCHEMA", "chart_of"]  # other tests ask for both here


@pytest.fixture(scope="module")
def sources(tmp_path_factory):
    return sources_of(tmp_path_factory.mktemp("chart"))


@pytest.fixture(scope="module")
def chart(sources):
    return assemble_chart(read_sources(**sources), LIMITS)


def test_a_chart_keeps_to_its_schema(chart):
    schema = yaml.safe_load(SCHEMA.read_text(encoding="utf-8"))
    assert [error.message for error in Draft202012Validator(schema).iter_errors(chart)] == []


def test_a_chart_survives_a_round_trip(chart, tmp_path):
    write_chart(tmp_path / "chart.json", chart)
    assert read_chart(tmp_path / "chart.json") == chart


def test_terms_stand_in_the_order_of_the_circle(chart, sources):
    order = [row["term"] for row in ORDER.read(sources["order"])]
    assert [term["id"] for _, _, term in chart_terms(chart)] == order


def test_tiers_are_those_published(chart, sources):
    rows = PUBLISHED.read(sources["published"])
    published = {(row["class"], row["subclass"], row["term"]) for row in rows}
    tiers = {(c["id"], s["id"], t["id"]) for c, s, t in chart_terms(chart, with_absorbed=True)}
    assert tiers == published


def test_an_absorbed_term_has_no_sector(chart):
    absorbed = [term for c in chart["classes"] for s in c["subclasses"] for term in s["absorbed"]]
    assert [term["start_deg"] for term in absorbed] == [None]


def test_a_class_reaches_from_its_first_sector_to_its_last(chart):
    for class_ in chart["classes"]:
        terms = [term for c, _, term in chart_terms(chart) if c["id"] == class_["id"]]
        assert (class_["start_deg"], class_["end_deg"]) == (
            terms[0]["start_deg"],
            terms[-1]["end_deg"],
        )


def test_the_nearest_terms_are_those_of_least_distance(chart, sources):
    terms, square = read_square(sources["distances"])
    _, _, term = next(chart_terms(chart))
    distances = dict(zip(terms, square[terms.index(term["id"])].tolist(), strict=True))
    del distances[term["id"]]
    least = sorted(distances.values())[:5]
    shares = [1 - entry["share_together"] for entry in term["nearest"]]
    assert shares == pytest.approx(least, abs=1e-12)
    assert all(
        distances[e["term"]] == pytest.approx(1 - e["share_together"]) for e in term["nearest"]
    )


def test_a_list_that_starts_within_a_class_is_turned_to_a_boundary():
    ring = [{"class": name} for name in "baabb"]
    assert "".join(row["class"] for row in from_a_boundary(ring)) == "aabbb"


def test_only_a_moved_term_tells_of_a_decision(chart):
    told = {term["status"] for _, _, term in chart_terms(chart, True) if term["decision"]}
    assert told == {"moved"}


def test_every_group_and_term_has_its_row_of_colours(sources):
    rows = COLOURS.read(sources["colours"])
    tiers = PUBLISHED.read(sources["published"])
    for tier in ("class", "subclass", "term"):
        listed = [row["term"] for row in rows if row["tier"] == tier]
        assert listed == sorted({row[tier] for row in tiers})


def test_the_columns_of_the_colours_are_those_promised(sources):
    promised = ["term", "picked", "used", "delta_e_2000", "n_picks", "reason"]
    promised += ["text_colour", "contrast_ratio"]
    assert set(promised) <= set(COLOURS.read(sources["colours"])[0])


def test_without_picks_every_class_colour_is_declared_a_design_choice(sources):
    classes = [row for row in COLOURS.read(sources["colours"]) if row["tier"] == "class"]
    assert {row["reason"] for row in classes} == {"palette"}


def test_choosing_colours_twice_gives_the_same_bytes(sources, tmp_path):
    choose_colours(
        picks=sources["colours"].parent / "picks.csv",
        places=sources["published"].with_name("places.csv"),
        order=sources["order"],
        settings=read_yaml(DEFAULTS)["colours"],
        smallest_cell=1,
        colours=tmp_path / "again.csv",
    )
    assert (tmp_path / "again.csv").read_bytes() == sources["colours"].read_bytes()


def test_tiers_and_distances_of_other_terms_are_not_put_together(sources):
    read = read_sources(**sources)
    fewer = read.distances.on(read.distances.terms[1:])
    with pytest.raises(DifferentTerms, match="only the tiers has 't000'"):
        dataclasses.replace(read, distances=fewer)


def test_a_published_term_needs_its_place_on_the_ring(sources):
    read = read_sources(**sources)
    with pytest.raises(DifferentTerms, match="only the tiers has"):
        dataclasses.replace(read, ring=read.ring[1:])
