"""The steps from tiers to the drawn ring, on the published kinship sorts of 85 women."""

import numpy as np
import pytest
from draw_ring import main as draw_ring
from felloe.circle.agreement import CircularAgreement
from felloe.circle.record import agreement_record
from felloe.errors import StudyError
from felloe.ground.records import read_json
from felloe.ground.tables import read_square, read_table, write_table
from ring_example import DECISION, NAMES, by_term, copied, order, publish, scale, write_upstream


@pytest.fixture(scope="module")
def study(tmp_path_factory):
    folder = tmp_path_factory.mktemp("kinship")
    write_upstream(folder, NAMES, [DECISION])
    publish(folder)
    scale(folder)
    order(folder)
    return folder


def test_a_moved_term_is_published_beside_the_other_and_marked(study):
    published = by_term(study / "published.csv")
    assert published["grandson"]["subclass"] == published["cousin"]["subclass"]
    assert published["grandson"]["status"] == "moved"
    assert [row["term"] for row in published.values() if row["status"] == "moved"] == ["grandson"]


def test_the_chart_of_the_data_is_written_beside_the_published_one(study):
    data_only = by_term(study / "data_only.csv")
    assert data_only["grandson"]["subclass"] != data_only["cousin"]["subclass"]
    assert "moved" not in {row["status"] for row in data_only.values()}


def test_ids_of_groups_are_their_alphabetically_first_terms(study):
    for chart in ("data_only", "published"):
        rows = read_table(study / f"{chart}.csv")
        for tier in ("class", "subclass"):
            for name in {row[tier] for row in rows}:
                assert name == min(row["term"] for row in rows if row[tier] == name)


def test_names_are_given_to_the_groups_of_their_anchors(study):
    published = by_term(study / "published.csv")
    assert published["uncle"]["class_name"] == "Beside"
    assert (
        published["cousin"]["subclass_name"] == published["grandson"]["subclass_name"] == "Cousins"
    )


def test_a_group_without_a_name_proposes_the_label_of_one_of_its_terms(study):
    rows = [row for row in read_table(study / "groups.csv") if row["chart"] == "published"]
    published = read_table(study / "published.csv")
    for row in rows:
        if row["proposed"] == "yes":
            inside = [one["term"] for one in published if one[row["tier"]] == row["id"]]
            assert row["name"].lower() in inside
    assert {row["name"] for row in rows if row["proposed"] == "no"} == {
        "Beside",
        "Cousins",
        "At home",
    }


def test_an_absorbed_term_leaves_the_outer_ring_only(study):
    published = by_term(study / "published.csv")
    around = [row["term"] for row in read_table(study / "order.csv")]
    assert published["mother"]["absorbed"] == "yes"
    assert sorted(around) == sorted(set(published) - {"mother"})
    assert len(read_table(study / "order_data_only.csv")) == 15


def test_a_decision_is_written_with_its_reason_and_its_price(study):
    (row,) = read_table(study / "decisions.csv")
    assert row["status"] == "applied"
    assert row["reason"] == "an invented reason"
    for price in ("cophenetic", "silhouette_class", "ring"):
        before, after, change = (
            float(row[f"{price}_{when}"]) for when in ("before", "after", "change")
        )
        assert after - before == pytest.approx(change, abs=1e-9)
    assert float(row["ring_change"]) > 0


def test_the_home_probability_after_a_move_is_lower_than_before(study):
    (row,) = read_table(study / "decisions.csv")
    assert float(row["home_probability_after"]) < float(row["home_probability_before"]) == 0.9


def test_a_decision_without_a_reason_is_refused(tmp_path):
    write_upstream(tmp_path, [], [DECISION | {"reason": " "}])
    with pytest.raises(StudyError, match="without a reason"):
        publish(tmp_path)


def test_names_that_absorb_every_term_of_a_class_are_refused(tmp_path):
    # every subclass is made a class; one of two terms gives both to names
    write_upstream(tmp_path)
    evidence = read_table(tmp_path / "evidence.csv")
    sizes = {row["subclass"]: 0 for row in evidence}
    for row in evidence:
        row["class"] = row["subclass"]
        sizes[row["subclass"]] += 1
    pair = next(name for name, size in sizes.items() if size == 2)
    one, other = (row["term"] for row in evidence if row["subclass"] == pair)
    write_table(tmp_path / "evidence.csv", list(evidence[0]), evidence)
    rows = [["class", one, "One", "yes"], ["subclass", other, "Other", "yes"]]
    write_table(tmp_path / "names.csv", ["tier", "anchor", "name", "absorbs"], rows)
    with pytest.raises(StudyError, match="absorb every term of the class 'One'"):
        publish(tmp_path)


def test_a_void_decision_is_reported_and_moves_nothing(tmp_path):
    void = DECISION | {"term": "grandfather", "beside": "grandmother"}
    write_upstream(tmp_path, [], [void])
    publish(tmp_path)
    (row,) = read_table(tmp_path / "decisions.csv")
    assert row["status"] == "void"
    assert "already" in row["note"]
    assert "moved" not in {one["status"] for one in read_table(tmp_path / "published.csv")}


def test_a_study_without_names_and_decisions_publishes_the_chart_of_the_data(tmp_path):
    write_upstream(tmp_path)
    publish(tmp_path)
    data_only, published = (by_term(tmp_path / f"{one}.csv") for one in ("data_only", "published"))
    for term, row in published.items():
        assert row.pop("absorbed") == "no"
        assert row == data_only[term]
    assert read_table(tmp_path / "decisions.csv") == []


def test_the_womens_ordinal_map_is_given_up_in_words(study):
    record = read_json(study / "map.json")
    assert record["degenerate"] is True
    assert record["type_asked"] == "ordinal"
    assert record["type"] == "metric"
    assert "degenerate" in record["warnings"][0]


def test_the_stress_of_the_written_map_is_that_of_the_written_pairs(study):
    pairs = read_table(study / "shepard.csv")
    d, dhat = (np.array([float(row[name]) for row in pairs]) for name in ("distance", "disparity"))
    stress = np.sqrt(((d - dhat) ** 2).sum() / (d**2).sum())
    assert read_json(study / "map.json")["stress_1"] == pytest.approx(stress, abs=1e-7)


def test_written_distances_are_those_of_the_written_points(study):
    place = {
        row["term"]: (float(row["x"]), float(row["y"])) for row in read_table(study / "map.csv")
    }
    for row in read_table(study / "shepard.csv"):
        apart = np.subtract(place[row["term_a"]], place[row["term_b"]])
        assert float(row["distance"]) == pytest.approx(np.hypot(*apart), abs=1e-8)


def test_the_written_length_is_the_sum_of_distances_once_around(study):
    terms, D = read_square(study / "distances.csv")
    record = read_json(study / "order.json")
    for name, length in (
        ("order.csv", record["length"]),
        ("order_data_only.csv", record["data_only"]["length"]),
    ):
        around = [terms.index(row["term"]) for row in read_table(study / name)]
        whole = sum(D[one, other] for one, other in zip(around, around[1:] + around[:1]))
        assert length == pytest.approx(whole, abs=1e-9)


def test_sectors_and_gaps_of_the_written_ring_add_up(study):
    rows = read_table(study / "order.csv")
    total = sum(
        float(r["end_deg"]) - float(r["start_deg"]) + float(r["gap_after_deg"]) for r in rows
    )
    assert abs(total - 360.0) < 1e-9


def test_lengths_of_the_record_lie_in_their_order(study):
    record = read_json(study / "order.json")
    assert record["length_free_tour"] <= record["length"] <= record["length_random_mean"]
    assert record["length_random_mean"] <= record["length_worst"]


def test_neighbours_of_the_record_are_those_of_the_ring(study):
    rows = read_table(study / "order.csv")
    around = [row["class"] for row in rows]
    pairs = {frozenset(p) for p in zip(around, around[1:] + around[:1]) if p[0] != p[1]}
    record = read_json(study / "order.json")["adjacency"]["neighbours"]
    assert {frozenset((row["class"], row["next"])) for row in record} == pairs
    table = {
        frozenset((r["class"], r["other_class"])): r for r in read_table(study / "adjacency.csv")
    }
    assert {pair for pair, row in table.items() if row["neighbours"] == "yes"} == pairs


@pytest.mark.parametrize(("p_value", "words"), [(0.05, "agree more"), (0.051, "no agreement")])
def test_whether_ring_and_map_agree_is_said_in_words(p_value, words):
    agreement = CircularAgreement(0.1, 0.1, False, p_value, 999, 90)
    record = {"restart_agreement": {"replicates": True}, "degenerate": False}
    written = agreement_record(agreement, record)
    assert words in written["finding"]
    assert written["found"] == (p_value <= 0.05)


def test_the_wider_freedom_is_never_longer(study, tmp_path):
    write_upstream(tmp_path, NAMES, [DECISION])
    publish(tmp_path, "tiers")
    for name in ("map.csv", "map.json"):
        (tmp_path / name).write_bytes((study / name).read_bytes())
    order(tmp_path, order_freedom="tiers")
    tiers, tree = (read_json(folder / "order.json") for folder in (tmp_path, study))
    assert tiers["order_freedom"] == "tiers"
    assert tiers["length"] <= tree["length"] + 1e-9


def test_a_width_of_the_terms_table_widens_the_sector(study, tmp_path):
    copied(study, tmp_path)
    order(tmp_path, sector_width="column")
    widths = {
        term: float(row["end_deg"]) - float(row["start_deg"])
        for term, row in by_term(tmp_path / "order.csv").items()
    }
    assert widths["aunt"] == pytest.approx(2 * widths["uncle"], abs=1e-9)


def test_an_edition_is_laid_like_its_older_one(study, tmp_path):
    copied(study, tmp_path)
    rows = read_table(study / "order.csv")
    turned = [
        {
            **row,
            "start_deg": -float(row["end_deg"]) % 360,
            "end_deg": -float(row["start_deg"]) % 360,
        }
        for row in rows
    ]
    write_table(tmp_path / "older.csv", list(rows[0]), turned)
    order(tmp_path, older=tmp_path / "older.csv")
    pose = read_json(tmp_path / "order.json")["pose"]
    assert pose["edition"] == "older"
    assert pose["mean_displacement_deg"] < 1e-6


def test_two_runs_give_the_same_bytes(study, tmp_path):
    write_upstream(tmp_path, NAMES, [DECISION])
    publish(tmp_path)
    scale(tmp_path)
    order(tmp_path)
    for path in study.glob("*.*"):
        if path.suffix in {".csv", ".json"}:
            assert (tmp_path / path.name).read_bytes() == path.read_bytes(), path.name


def test_three_figures_are_drawn_and_do_not_change_from_run_to_run(study, tmp_path):
    classes = sorted({row["class"] for row in read_table(study / "published.csv")})
    colours = [["class", name, f"#{40 + 60 * i:02x}6080"] for i, name in enumerate(classes)]
    write_table(tmp_path / "colours.csv", ["tier", "term", "used"], colours)
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
            **figures,
        )
        drawn.append([path.read_bytes() for paths in figures.values() for path in paths])
    assert drawn[0] == drawn[1]
