"""The files that a plan leaves, when it is made anew, and its figure."""

import pytest
from felloe.foresight import making
from felloe.foresight.figure_plan import draw_plan, ticks_of
from felloe.foresight.making import planned_text, terms_each
from felloe.foresight.tables import PLAN
from felloe.foresight.words import (
    AS_GOOD,
    CAUTION,
    TRIED,
    figure_text,
)
from felloe.ground.files.records import read_json
from felloe.launching.plan_study.foreseen import what_to_expect
from matplotlib.backends.backend_agg import FigureCanvasAgg
from planning_example import ABOUT, ASSUMED, OWN, SIZES, SOURCES, STREAMS, planned_brine


def test_a_plan_says_what_it_assumes_and_how_good_it_is(made):
    folder, said = made
    rows = PLAN.read(folder / "plan.csv")
    assert [(row["terms_each"], row["people"]) for row in rows] == [
        (10, 10), (10, 20), (24, 10), (24, 20)
    ]  # fmt: skip
    text = " ".join(said.split())
    assert "a study of 24 terms" in text
    assert "4 classes and 8 subclasses (stated in design.assumptions)" in text
    record = read_json(folder / "plan.json")
    drawn = figure_text(record)
    assert CAUTION in text
    for caution in (AS_GOOD, TRIED):
        assert caution in record["caution"]
        assert caution in drawn
    assert drawn.startswith("brine. ")
    assert (folder / "plan.svg").stat().st_size > 1000


def test_the_same_bytes_again_on_one_core_or_several(made, monkeypatch):
    folder, said = made
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    for path in folder.iterdir():
        path.unlink()
    monkeypatch.setattr(making.os, "cpu_count", lambda: 1)
    assert planned_text(ASSUMED, SIZES, ABOUT, STREAMS, OWN) == said
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before


def test_what_stands_is_not_made_again_but_what_was_touched_is(made, monkeypatch):
    folder, said = made
    table = folder / "plan.csv"
    whole = table.read_bytes()
    monkeypatch.setattr(making, "columns_of", lambda *_: pytest.fail("made again"))
    assert planned_text(ASSUMED, SIZES, ABOUT, STREAMS, OWN) == said
    monkeypatch.undo()
    monkeypatch.chdir(folder.parents[1])
    table.write_bytes(whole.replace(b"10,", b"11,", 1))
    assert planned_text(ASSUMED, SIZES, ABOUT, STREAMS, OWN) == said
    assert table.read_bytes() == whole


def test_more_terms_than_there_are_is_the_whole_lexicon_once():
    assert terms_each([40, 100, 60], 50) == [40, 50]


def test_the_margin_of_pooling_stands_in_table_record_and_figure(made):
    folder, said = made
    rows, record = PLAN.read(folder / "plan.csv"), read_json(folder / "plan.json")
    assert [row["pooling"] for row in rows] == [row["smaller_reliability"] >= 0.7 for row in rows]
    assert record["margin"] == 0.7
    open_from = {one["terms_each"]: one["people"] for one in record["pooling_from"]}
    for each in (10, 24):
        enough = [row["people"] for row in rows if row["terms_each"] == each and row["pooling"]]
        assert open_from[each] == (min(enough) if enough else None)
    assert "comparison.margins.reliability" in said
    assert "(0.70) for pooling" in figure_text(record)
    left = draw_plan(rows, 24, "", 0.7).axes[0]
    flat = [line for line in left.lines if set(line.get_ydata()) == {0.7}]
    assert len(flat) == 1


def test_another_margin_makes_the_plan_anew(made):
    folder, _ = made
    planned_text(ASSUMED, SIZES, {**ABOUT, "margin": 0.0}, STREAMS, OWN)
    assert all(row["pooling"] for row in PLAN.read(folder / "plan.csv"))


def test_what_stands_below_the_figure_is_on_the_paper_and_beside_the_legend(made):
    folder, _ = made
    record = read_json(folder / "plan.json")
    long = {**record, "study": "trades-and-guilds-" * 3, "pilot": "results/of-last-winter-" * 7}
    long["sources"] = {**dict.fromkeys(SOURCES, "pilot"), "smaller_population": "default"}
    rows = PLAN.read(folder / "plan.csv")
    fig = draw_plan(rows, 24, figure_text(long), 0.7)
    canvas = FigureCanvasAgg(fig)
    (text,), (legend,) = (
        [one.get_window_extent(canvas.get_renderer()) for one in own]
        for own in (fig.texts, fig.legends)
    )
    assert text.x0 > 0
    assert text.y0 > 0
    assert text.x1 < fig.bbox.x1
    assert text.y1 < legend.y0
    below = min(panel.get_tightbbox(canvas.get_renderer()).y0 for panel in fig.axes)
    assert legend.y1 < below


def test_numbers_of_people_are_written_where_there_is_room():
    assert ticks_of([40, 80, 160, 320]) == ["40", "80", "160", "320"]
    told = ticks_of([20, 21, 22, 40, 400])
    assert told == ["20", "", "", "40", "400"]
    assert ticks_of([40]) == ["40"]


def test_a_small_lexicon_is_not_simulated(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert "7 terms are fewer than 20" in what_to_expect(planned_brine())
    assert not (tmp_path / "plans").exists()
