"""The steps from tiers to the drawn ring, on the published kinship sorts of 85 women."""

from pathlib import Path

import numpy as np
import pytest
from felloe.circle.agreement import CircularAgreement
from felloe.circle.record import agreement_record
from felloe.circle.tables import ADJACENCY, MAP, ORDER, ORDER_DATA_ONLY, SHEPARD
from felloe.colours.steps.draw_ring import main as draw_ring
from felloe.colours.tables import COLOURS
from felloe.comparison.chart import ChartSource, write_chart_source
from felloe.errors import StudyError
from felloe.ground.files.records import read_json
from felloe.ground.files.tables import read_square
from felloe.tiers.tables import DATA_ONLY, DECISIONS, GROUPS, PUBLISHED
from felloe.validation.tables import NAMES
from ring_example import (
    DECISION,
    GIVEN,
    by_term,
    charted,
    copied,
    order,
    publish,
    scale,
    write_class_shares,
    write_evidence,
    write_upstream,
)


@pytest.fixture(scope="module")
def study(tmp_path_factory):
    folder = tmp_path_factory.mktemp("kinship")
    write_upstream(folder, GIVEN, [DECISION])
    publish(folder)
    scale(folder)
    order(folder)
    return folder


def test_a_moved_term_is_published_beside_the_other_and_marked(study):
    published = by_term(PUBLISHED, study / "published.csv")
    assert published["grandson"]["subclass"] == published["cousin"]["subclass"]
    assert published["grandson"]["status"] == "moved"
    assert [row["term"] for row in published.values() if row["status"] == "moved"] == ["grandson"]


def test_the_chart_of_the_data_is_written_beside_the_published_one(study):
    data_only = by_term(DATA_ONLY, study / "data_only.csv")
    assert data_only["grandson"]["subclass"] != data_only["cousin"]["subclass"]
    assert "moved" not in {row["status"] for row in data_only.values()}


def test_ids_of_groups_are_their_alphabetically_first_terms(study):
    for table in (DATA_ONLY, PUBLISHED):
        rows = table.read(study / Path(table.path).name)
        for tier in ("class", "subclass"):
            for name in {row[tier] for row in rows}:
                assert name == min(row["term"] for row in rows if row[tier] == name)


def test_names_are_given_to_the_groups_of_their_anchors(study):
    published = by_term(PUBLISHED, study / "published.csv")
    assert published["uncle"]["class_name"] == "Beside"
    assert (
        published["cousin"]["subclass_name"] == published["grandson"]["subclass_name"] == "Cousins"
    )


def test_a_group_without_a_name_proposes_the_label_of_one_of_its_terms(study):
    rows = [row for row in GROUPS.read(study / "groups.csv") if row["chart"] == "published"]
    published = PUBLISHED.read(study / "published.csv")
    for row in rows:
        if row["proposed"]:
            inside = [one["term"] for one in published if one[row["tier"]] == row["id"]]
            assert row["name"].lower() in inside
    assert {row["name"] for row in rows if not row["proposed"]} == {
        "Beside",
        "Cousins",
        "At home",
    }


def test_an_absorbed_term_leaves_the_outer_ring_only(study):
    published = by_term(PUBLISHED, study / "published.csv")
    around = [row["term"] for row in ORDER.read(study / "order.csv")]
    assert published["mother"]["absorbed"]
    assert sorted(around) == sorted(set(published) - {"mother"})
    assert len(ORDER_DATA_ONLY.read(study / "order_data_only.csv")) == 15


def test_a_decision_is_written_with_its_reason_and_its_price(study):
    (row,) = DECISIONS.read(study / "decisions.csv")
    assert row["status"] == "applied"
    assert row["reason"] == "an invented reason"
    for price in ("cophenetic", "silhouette_class", "ring"):
        before, after, change = (row[f"{price}_{when}"] for when in ("before", "after", "change"))
        assert after - before == pytest.approx(change, abs=1e-9)
    assert row["ring_change"] > 0


def test_the_home_probability_after_a_move_is_lower_than_before(study):
    (row,) = DECISIONS.read(study / "decisions.csv")
    assert row["home_probability_after"] < row["home_probability_before"] == 0.9


def test_a_decision_without_a_reason_is_refused(tmp_path):
    write_upstream(tmp_path, [], [DECISION | {"reason": " "}])
    with pytest.raises(StudyError, match="without a reason"):
        publish(tmp_path)


def test_names_that_absorb_every_term_of_a_class_are_refused(tmp_path):
    # every subclass is made a class; one of two terms gives both to names
    write_upstream(tmp_path)
    _, _, tiers = charted()
    own = tiers.subclasses.of_terms
    write_evidence(
        tmp_path,
        [dict(zip(("term", "class", "subclass"), row)) for row in zip(tiers.terms, own, own)],
    )
    parts = [tiers.subclasses.members(group) for group in range(6)]
    one, other = next(members for members in parts if len(members) == 2)
    write_class_shares(tmp_path, tiers.subclasses)
    rest = ("", "", "", False)
    rows = [("class", one, "One", True, *rest), ("subclass", other, "Other", True, *rest)]
    NAMES.write(tmp_path / "names.csv", rows)
    with pytest.raises(StudyError, match="absorb every term of the class 'One'"):
        publish(tmp_path)


def test_a_void_decision_is_reported_and_moves_nothing(tmp_path):
    void = DECISION | {"term": "grandfather", "beside": "grandmother"}
    write_upstream(tmp_path, [], [void])
    publish(tmp_path)
    (row,) = DECISIONS.read(tmp_path / "decisions.csv")
    assert row["status"] == "void"
    assert row["note"] == "already_together"
    assert "moved" not in {one["status"] for one in PUBLISHED.read(tmp_path / "published.csv")}


def test_a_study_without_names_and_decisions_publishes_the_chart_of_the_data(tmp_path):
    write_upstream(tmp_path)
    publish(tmp_path)
    data_only, published = (
        by_term(table, tmp_path / Path(table.path).name) for table in (DATA_ONLY, PUBLISHED)
    )
    for term, row in published.items():
        assert not row.pop("absorbed")
        assert row == data_only[term]
    assert DECISIONS.read(tmp_path / "decisions.csv") == []


def test_the_womens_ordinal_map_is_given_up(study):
    record = read_json(study / "map.json")
    assert record["degenerate"] is True
    assert record["type_asked"] == "ordinal"
    assert record["type"] == "metric"
    assert record["warnings"][0] == "degenerate"


def test_the_stress_of_the_written_map_is_that_of_the_written_pairs(study):
    pairs = SHEPARD.read(study / "shepard.csv")
    d, dhat = (np.array([row[name] for row in pairs]) for name in ("distance", "disparity"))
    stress = np.sqrt(((d - dhat) ** 2).sum() / (d**2).sum())
    assert read_json(study / "map.json")["stress_1"] == pytest.approx(stress, abs=1e-7)


def test_written_distances_are_those_of_the_written_points(study):
    place = {row["term"]: (row["x"], row["y"]) for row in MAP.read(study / "map.csv")}
    for row in SHEPARD.read(study / "shepard.csv"):
        apart = np.subtract(place[row["term_a"]], place[row["term_b"]])
        assert row["distance"] == pytest.approx(np.hypot(*apart), abs=1e-8)


def test_the_written_length_is_the_sum_of_distances_once_around(study):
    terms, D = read_square(study / "distances.csv")
    record = read_json(study / "order.json")
    for table, length in (
        (ORDER, record["length"]),
        (ORDER_DATA_ONLY, record["data_only"]["length"]),
    ):
        around = [terms.index(row["term"]) for row in table.read(study / Path(table.path).name)]
        whole = sum(D[one, other] for one, other in zip(around, around[1:] + around[:1]))
        assert length == pytest.approx(whole, abs=1e-9)


def test_sectors_and_gaps_of_the_written_ring_add_up(study):
    rows = ORDER.read(study / "order.csv")
    total = sum(row["end_deg"] - row["start_deg"] + row["gap_after_deg"] for row in rows)
    assert abs(total - 360.0) < 1e-9


def test_lengths_of_the_record_lie_in_their_order(study):
    record = read_json(study / "order.json")
    assert record["length_free_tour"] <= record["length"] <= record["length_random_mean"]
    assert record["length_random_mean"] <= record["length_worst"]


def test_neighbours_of_the_record_are_those_of_the_ring(study):
    rows = ORDER.read(study / "order.csv")
    around = [row["class"] for row in rows]
    pairs = {frozenset(p) for p in zip(around, around[1:] + around[:1]) if p[0] != p[1]}
    record = read_json(study / "order.json")["adjacency"]["neighbours"]
    assert {frozenset((row["class"], row["next"])) for row in record} == pairs
    table = {
        frozenset((r["class"], r["other_class"])): r
        for r in ADJACENCY.read(study / "adjacency.csv")
    }
    assert {pair for pair, row in table.items() if row["neighbours"]} == pairs


@pytest.mark.parametrize(("p_value", "found"), [(0.05, True), (0.051, False)])
def test_ring_and_map_agree_up_to_the_p_of_the_settings(p_value, found):
    agreement = CircularAgreement(0.1, 0.1, False, p_value, 999, 90)
    record = {"restart_agreement": {"replicates": True}, "degenerate": False}
    assert agreement_record(agreement, record, 0.05)["found"] is found


def test_the_wider_freedom_is_never_longer(study, tmp_path):
    write_upstream(tmp_path, GIVEN, [DECISION])
    publish(tmp_path, "tiers")
    for name in ("points.csv", "map.json"):
        (tmp_path / name).write_bytes((study / name).read_bytes())
    order(tmp_path, order_freedom="tiers")
    tiers, tree = (read_json(folder / "order.json") for folder in (tmp_path, study))
    assert tiers["order_freedom"] == "tiers"
    assert tiers["length"] <= tree["length"] + 1e-9


def test_a_width_of_the_terms_table_widens_the_sector(study, tmp_path):
    copied(study, tmp_path)
    order(tmp_path, sector_width="column")
    widths = {
        term: row["end_deg"] - row["start_deg"]
        for term, row in by_term(ORDER, tmp_path / "order.csv").items()
    }
    assert widths["aunt"] == pytest.approx(2 * widths["uncle"], abs=1e-9)


def test_an_edition_is_laid_like_its_older_one(study, tmp_path):
    copied(study, tmp_path)
    rows = ORDER.read(study / "order.csv")
    turned = [
        {**row, "start_deg": -row["end_deg"] % 360, "end_deg": -row["start_deg"] % 360}
        for row in rows
    ]
    ORDER.write(tmp_path / "older.csv", turned)
    order(tmp_path, older=tmp_path / "older.csv")
    pose = read_json(tmp_path / "order.json")["pose"]
    assert pose["edition"] == "older"
    assert pose["mean_displacement_deg"] < 1e-6


def test_two_runs_give_the_same_bytes(study, tmp_path):
    write_upstream(tmp_path, GIVEN, [DECISION])
    publish(tmp_path)
    scale(tmp_path)
    order(tmp_path)
    for path in study.glob("*.*"):
        if path.suffix in {".csv", ".json"}:
            assert (tmp_path / path.name).read_bytes() == path.read_bytes(), path.name


def test_three_figures_are_drawn_and_do_not_change_from_run_to_run(study, tmp_path):
    unknown = dict.fromkeys(COLOURS.names)
    classes = sorted({row["class"] for row in PUBLISHED.read(study / "published.csv")})
    COLOURS.write(
        tmp_path / "colours.csv",
        (
            {**unknown, "tier": "class", "term": name, "used": f"#{40 + 60 * i:02x}6080"}
            for i, name in enumerate(classes)
        ),
    )
    write_chart_source(tmp_path / "chart.json", ChartSource("pooled", "plain"))
    drawn = []
    for run in ("one", "two"):
        figures = {
            f"{name}_figure": [tmp_path / run / f"{name}.{kind}" for kind in ("svg", "pdf", "png")]
            for name in ("map", "shepard", "ring")
        }
        draw_ring(
            map=study / "map.csv",
            map_record=study / "map.json",
            shepard=study / "shepard.csv",
            dimensions=study / "dimensions.csv",
            order=study / "order.csv",
            record=study / "order.json",
            adjacency=study / "adjacency.csv",
            colours=tmp_path / "colours.csv",
            published=study / "published.csv",
            terms=study / "terms.csv",
            whose=tmp_path / "chart.json",
            **figures,
        )
        drawn.append([path.read_bytes() for paths in figures.values() for path in paths])
    assert drawn[0] == drawn[1]
