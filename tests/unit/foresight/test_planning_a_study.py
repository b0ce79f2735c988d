"""What a plan rests on, what is refused, and the files that it leaves."""

import copy
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from felloe.errors import StudyError
from felloe.foresight import making
from felloe.foresight.assumptions import Habits, even_truth
from felloe.foresight.figure_plan import draw_plan, ticks_of
from felloe.foresight.making import planned_text, terms_each
from felloe.foresight.own import Own, reaching, sources_of
from felloe.foresight.plan import Assumed
from felloe.foresight.reading import assumed_for
from felloe.foresight.tables import PLAN
from felloe.foresight.words import (
    AS_GOOD,
    CAUTION,
    TRIED,
    assumed_lines,
    figure_text,
    plan_text,
    pooling,
    reached,
    yours,
)
from felloe.ground.files.records import read_json, write_json
from felloe.ground.people.sorts import Sorts
from felloe.ground.randomness import Streams
from felloe.ground.terms import Terms
from felloe.launching.plan_study.foreseen import how_many_more, own_of, what_to_expect
from felloe.launching.plan_study.planned import Planned
from felloe.settings import resolve
from felloe.tiers.tables import DATA_ONLY
from felloe.validation.tables import write_analysed
from matplotlib.backends.backend_agg import FigureCanvasAgg

STREAMS = Streams(7, "brine")
SETTINGS = resolve({})
ASSUMED = Assumed(even_truth(24, 4, 2), Habits(0.5, 0.3), 0.5, 1.0, "average", 0.05, 3)
SIZES = {"people": [10, 20], "each": [10, 24]}
SOURCES = dict.fromkeys(("classes", "subclasses"), "stated") | dict.fromkeys(
    ("coarse", "astray", "smaller_population"), "default"
)
ABOUT = {"pilot": None, "code": "c0de", "sources": SOURCES, "target": 0.9, "margin": 0.7}
OWN = Own(10)


def changed(**assumptions):
    settings = copy.deepcopy(SETTINGS)
    settings["design"]["assumptions"].update(assumptions)
    return settings


def test_what_is_left_open_comes_from_the_tiers():
    assert assumed_for(SETTINGS, 99, STREAMS).truth.numbers == (9, 27)  # middles: 9, 25
    assert assumed_for(changed(classes=4, subclasses_per_class=2), 20, STREAMS).truth.numbers == (
        4,
        8,
    )


@pytest.mark.parametrize(
    ("assumptions", "key", "cure"),
    [
        ({"classes": 10, "subclasses_per_class": 3}, "design.assumptions", "smaller numbers"),
        ({"people": [20], "smaller_population": 0.1}, "assumptions.people", "Name more people"),
    ],
)
def test_what_cannot_be_assumed_of_these_terms_is_refused(assumptions, key, cure):
    with pytest.raises(StudyError) as error:
        assumed_for(changed(**assumptions), 24, STREAMS)
    assert key in str(error.value)
    assert cure in str(error.value)


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("classes", 1), ("subclasses_per_class", 0), ("astray", 1.0), ("astray", -0.1),
        ("coarse", 1.5), ("smaller_population", 0.6), ("smaller_population", 0),
        ("people", []), ("people", [4]), ("people", [3000]), ("terms_per_person", [2]),
        ("carelessness", 0.3),
    ],
)  # fmt: skip
def test_bad_assumptions_are_refused_with_their_key(key, value):
    with pytest.raises(StudyError) as error:
        resolve({"design": {"assumptions": {key: value}}}, "mine.yaml")
    assert key in str(error.value)
    assert "mine.yaml" in str(error.value)


def test_a_pilot_that_is_not_there_is_named_with_a_cure():
    settings = copy.deepcopy(SETTINGS)
    settings["design"]["pilot"] = "nowhere"
    with pytest.raises(StudyError, match=r"design\.pilot: 'nowhere'.*write null"):
        assumed_for(settings, 40, STREAMS)


def test_groups_of_a_plan_are_those_of_the_pilot(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    truth = even_truth(20, 4, 2)
    terms = [f"t{n:02}" for n in range(20)]
    piles = np.tile(truth.subclasses, (8, 1))
    names = tuple(f"p{n}" for n in range(8))
    write_analysed("old/validation/analysed.csv", Sorts(names, ("a",) * 8, Terms(terms), piles))
    write_json("old/validation/study.json", {})
    blank = dict.fromkeys(DATA_ONLY.names, "")
    DATA_ONLY.write(
        "old/tiers/data_only.csv",
        [
            {**blank, "term": term, "class": terms[first], "subclass": terms[own]}
            for term, first, own in zip(
                terms,
                (truth.classes * 5).tolist(),
                [int(np.flatnonzero(truth.subclasses == one)[0]) for one in truth.subclasses],
            )
        ],
    )
    settings = copy.deepcopy(SETTINGS)
    settings["design"]["pilot"] = "old"
    assumed = assumed_for(settings, 40, STREAMS)
    assert assumed.truth.numbers == (4, 8)
    assert np.bincount(assumed.truth.classes).tolist() == [10, 10, 10, 10]
    assert assumed.habits.coarse == 0.0
    assert assumed.habits.astray < 0.01  # everybody sorted alike
    with pytest.raises(StudyError, match=r"design\.pilot"):
        assumed_for(settings, 7, STREAMS)
    write_analysed("old/validation/analysed.csv", Sorts(names[:3], "aaa", Terms(terms), piles[:3]))
    with pytest.raises(StudyError, match="3 people; how far people agree takes 4"):
        assumed_for(settings, 40, STREAMS)
    write_analysed("old/validation/analysed.csv", Sorts(names, ("a",) * 8, Terms(terms), piles))
    for name in ("tiers/data_only.csv", "validation/analysed.csv", "validation/study.json"):
        whole = Path("old", name).read_text(encoding="utf-8")
        for part in ("", whole[: len(whole) // 2], "[]"):
            Path("old", name).write_text(part, encoding="utf-8")
            with pytest.raises(StudyError, match=r"design\.pilot: .*Run the pilot again"):
                assumed_for(settings, 40, STREAMS)
        Path("old", name).write_text(whole, encoding="utf-8")


@pytest.fixture
def made(tmp_path, monkeypatch):
    """A plan of few studies, made in a folder of its own."""
    monkeypatch.chdir(tmp_path)
    said = planned_text(ASSUMED, SIZES, ABOUT, STREAMS, OWN)
    return tmp_path / "plans" / "brine", said


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


WAYS = {
    "only": {"makers": {"more": 14, "share": 0.83, "standard_error": 0.02}, "panel": None},
    "of_each": None,
}
ASKED = {"question": "agreement", "most": 400, "replicates": 400, "enough": 0.8}
CANNOT = {"verdict": "cannot_tell", "populations": ["makers", "panel"]}


@pytest.fixture
def dossier(tmp_path, monkeypatch):
    """Where the dossier of a finished study stands."""
    monkeypatch.chdir(tmp_path)
    return tmp_path / "results" / "brine" / "comparison" / "populations.json"


def test_a_finished_study_that_cannot_tell_says_how_many_more(dossier):
    path = dossier
    write_json(path, {**CANNOT, "plan": {**ASKED, **WAYS}})
    said = how_many_more(planned_brine())
    assert "results/brine/comparison/populations.json" in said
    assert "14 more of Makers alone" in said
    assert "shown as many terms" not in said
    assert max(map(len, said.splitlines())) <= 100
    write_json(path, {"verdict": "pool", "plan": None})
    assert how_many_more(planned_brine()) == ""
    path.unlink()
    assert how_many_more(planned_brine()) == ""


def test_of_a_study_in_parts_new_people_are_shown_as_many_terms(dossier):
    write_json(dossier, {**CANNOT, "plan": {**ASKED, **WAYS}})
    issued = replace(planned_brine(), issued={"m1": np.arange(3)})
    assert "shown as many terms as the others were" in how_many_more(issued)


@pytest.mark.parametrize(
    ("question", "said"),
    [
        ("agreement", "no number up to 400 more people"),
        ("many_named", "More people would not show equivalence"),
        ("unknown", "cannot be said"),
    ],
)
def test_where_more_people_do_not_help_it_is_said_why(dossier, question, said):
    none = {"only": {"makers": None, "panel": None}, "of_each": None}
    write_json(dossier, {**CANNOT, "plan": {**ASKED, **none, "question": question}})
    text = " ".join(how_many_more(replace(planned_brine(), issued={"m1": np.arange(3)})).split())
    assert said in text
    assert "shown as many terms" not in text


@pytest.mark.parametrize(
    "text",
    [
        "", "{", "[]", "null", "{}", '{"verdict": "cannot_tell"}',
        '{"verdict": "cannot_tell", "populations": ["makers"], "plan": {"only": {}}}',
    ],
)  # fmt: skip
def test_a_dossier_of_another_make_is_told_and_stops_nothing(dossier, text):
    dossier.parent.mkdir(parents=True)
    dossier.write_text(text, encoding="utf-8")
    said = how_many_more(planned_brine())
    assert "results/brine/comparison/populations.json" in said
    assert "Run the study again" in said


def test_a_population_that_was_renamed_since_is_told_by_its_old_name(dossier):
    write_json(dossier, {**CANNOT, "plan": {**ASKED, **WAYS}})
    renamed = replace(planned_brine(), populations={"cooks": "Cooks", "panel": "Trained panel"})
    assert "14 more of makers alone" in how_many_more(renamed)


def test_the_fewest_people_for_the_reliability_to_plan_for_are_told():
    cells = [(16, 40, 0.6), (16, 80, 0.85), (16, 160, 0.9), (30, 40, 0.7), (30, 160, 0.79)]
    rows = [{"terms_each": k, "people": n, "reliability": r} for k, n, r in cells]
    assert reached(rows, 0.8) == (
        "A reliability of 0.8 of everybody (stability.target): from 80 people with 16 terms each, "
        "not up to 160 people with 30."
    )


def rows_of(sizes):
    """Return rows of a table, of (terms a person, people, reliability of the smaller)."""
    blank = dict.fromkeys(("observers", "reliability", "classes", "subclasses"), 0.5)
    rest = {"moved_terms": None, "moved_most": 80}
    return [
        {**blank, **rest, "terms_each": each, "people": people, "smaller_reliability": reliability,
         "pooling": reliability >= 0.7}
        for each, people, reliability in sizes
    ]  # fmt: skip


def about_of(**more):
    assumed = {"terms": 240, "classes": 9, "subclasses": 27}
    assumed |= {"coarse": 0.5, "astray": 0.3, "smaller": 0.5}
    return {**ABOUT, "studies": 20, "power": 0.8, "study": "brine", "assumed": assumed, **more}


GRID = rows_of([
    (each, people, 0.72 if (each, people) in ((100, 320), (60, 320)) else 0.5)
    for each in (40, 60, 100) for people in (40, 80, 160, 320)
])  # fmt: skip


def test_the_sizes_from_which_pooling_is_open_are_told():
    rows = rows_of([(60, 160, 0.5), (60, 320, 0.69), (100, 160, 0.69), (100, 320, 0.7)])
    assert pooling(rows, 0.7) == (
        "Pooling needs a reliability of 0.70 in each population "
        "(comparison.margins.reliability): from 320 people with 100 terms each, not up to 320 "
        "people with 60."
    )
    none = rows_of([(40, 320, 0.1), (60, 320, 0.1), (100, 320, 0.1)])
    assert pooling(none, 0.7).endswith(": not up to 320 people with 40, 60 or 100.")
    assert reaching(rows, "smaller_reliability", 0.7) == {60: None, 100: 320}
    assert reaching(
        rows_of([(60, 40, float("nan")), (60, 80, 0.9)]), "smaller_reliability", 0.7
    ) == {60: 80}


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


def test_a_plan_fits_a_screen():
    ranges = dict.fromkeys(("classes", "subclasses"), "ranges")
    text = plan_text(GRID, about_of(sources=SOURCES | ranges), "plans/brine", Own(60, 84, 0.4))
    lines = text.splitlines()
    assert len(lines) < 30
    assert max(map(len, lines)) <= 100


def test_the_size_of_the_study_itself_is_marked():
    lines = plan_text(GRID, about_of(), "plans/brine", Own(60, 84)).splitlines()
    marked = [line.split()[:2] for line in lines if line.endswith("yours")]
    assert marked == [["60", "80"]]
    assert yours(GRID, Own(60, 84)) == (
        "yours: 60 terms each, and of the sizes the nearest to the 84 people who are named."
    )
    before = plan_text(GRID, about_of(), "plans/brine", Own(60)).splitlines()
    assert [line.split()[0] for line in before if line.endswith("yours")] == ["60"] * 4
    assert "nobody is named yet" in yours(GRID, Own(60))
    assert "60 terms each (the nearest to 70)" in yours(GRID, Own(70))


def test_lists_with_another_share_are_told_beside_what_is_assumed():
    assert assumed_lines(about_of(), 0.4)[1].endswith(
        "50% are in the smaller of two populations, in the lists 40% "
        "(design.assumptions.smaller_population)."
    )
    for same in (None, 0.5, 0.499):
        assert "lists" not in assumed_lines(about_of(), same)[1]


def test_the_study_itself_is_read_from_its_lists():
    people = dict.fromkeys("abc", "makers") | dict.fromkeys("de", "panel")
    shown = {person: np.arange(3) for person in people}
    named = replace(planned_brine(), people=people, given=shown)
    assert own_of(named) == Own(3, 5, 0.4)
    assert own_of(planned_brine()) == Own(7)  # 60 terms each, of seven
    three = replace(named, people={**people, "e": "guests"})
    assert own_of(three).smaller is None


def test_what_nobody_stated_is_not_called_stated():
    defaults = SETTINGS["design"]["assumptions"]
    found = sources_of(SETTINGS, defaults)
    heading, assumed = assumed_lines(about_of(sources=found))
    assert "27 subclasses (assumed: near the middle of the ranges in tiers)." in heading
    assert assumed.startswith("Assumed (defaults of design.assumptions): 50% of people")
    mine = changed(classes=4, astray=0.4)
    heading, assumed = assumed_lines(about_of(sources=sources_of(mine, defaults)))
    assert (
        "(classes stated in design.assumptions; subclasses assumed: near the middle of the ranges "
        "in tiers)"
    ) in heading
    assert (
        "(astray stated in design.assumptions; coarse, smaller_population defaults of "
        "design.assumptions)"
    ) in assumed
    mine["tiers"] = {**mine["tiers"], "subclasses": 20}
    assert sources_of(mine, defaults)["subclasses"] == "tiers"
    mine["design"]["pilot"] = "old"
    found = sources_of(mine, defaults)
    assert [name for name, own in found.items() if own != "pilot"] == ["smaller_population"]
    assert "(from the pilot old)" in assumed_lines(about_of(sources=found, pilot="old"))[0]


def test_words_that_nobody_understood_are_gone():
    text = " ".join(plan_text(GRID, about_of(), "plans/brine", OWN).split())
    for hard in ("matched test", "at the worst", "stepped up"):
        assert hard not in text + figure_text(about_of())
    assert "over 80: more than a third of the terms." in text


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


def planned_brine():
    """Return a study of seven terms before its data."""
    labels = {"makers": "Makers", "panel": "Panel"}
    terms = [f"t{n}" for n in range(7)]
    return Planned("brine", Path("brine"), SETTINGS, labels, terms, {}, {}, None, {})
