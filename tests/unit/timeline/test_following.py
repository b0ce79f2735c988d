"""Terms followed with their classes: grades, entropy, rows, and the picture's places."""

from itertools import pairwise

import pytest
from felloe.editions.correspondence import Bounds, match_classes
from felloe.timeline.follow import NOT_COMPARED, Between, Stop, follow
from felloe.timeline.paths import Step
from felloe.timeline.picture import picture_of
from felloe.timeline.rows import Wording, row_of
from felloe.timeline.tables import TIMELINE, further_columns

BOUNDS = Bounds(0.75, 0.5, 0.05)
OLD = {"a": "a1 a2 a3 mover wide", "b": "b1 b2 b3 leek"}
MIDDLE = {"x": "a1 a2 a3", "y": "b1 b2 b3 mover narrow broad"}
NEW = {"a": "a1 a2 a3 broad", "b": "b1 b2 b3 mover narrow leek"}
PROBABILITIES = {"mover": 0.6}  # of the others 0.9


def stop(study, groups):
    classes = {term: name for name, terms in groups.items() for term in terms.split()}
    sure = {term: PROBABILITIES.get(term, 0.9) for term in classes}
    shares = {term: {name: sure[term]} for term, name in classes.items()}
    return Stop(study, classes, sure, shares, classes)


def between(older, newer, split=(), found=True):
    common = sorted(set(older.classes) & set(newer.classes))
    kept = [Step(term, term, "kept") for term in common]
    matched = match_classes(*([side.classes[term] for term in common] for side in (older, newer)))
    relations = {
        (older.classes[term], newer.classes[term]): matched.relation(
            older.classes[term], newer.classes[term]
        )
        for term in common
    }
    return Between((*kept, *split), relations, BOUNDS, found)


STOPS = [stop("old", OLD), stop("middle", MIDDLE), stop("new", NEW)]
SPLIT = [Step("wide", part, "split", "too wide") for part in ("narrow", "broad")]
BETWEEN = [between(*STOPS[:2], split=SPLIT), between(*STOPS[1:])]


@pytest.fixture(scope="module")
def found():
    return follow(STOPS, BETWEEN)


@pytest.fixture(scope="module")
def by_name(found):
    return {one.path.name: one for one in found.followed}


def test_a_move_is_graded_by_the_less_sure_edition(by_name):
    mover = by_name["mover > mover > mover"]
    assert mover.grades == (None, "possible", "none")
    assert mover.surest == "possible"
    assert mover.moves == [(1, "possible")]


def test_a_part_of_a_split_term_is_held_against_the_classes_as_any_other(by_name):
    # wide stood in a; a went on as x, so a part in y has moved, and one that is in a again twice
    assert by_name["wide > narrow > narrow"].grades == (None, "robust", "none")
    assert by_name["wide > broad > broad"].grades == (None, "robust", "robust")


def test_who_came_back_is_not_compared_and_has_not_moved(by_name):
    leek = by_name["leek > _ > leek"]
    assert leek.grades == (None, None, NOT_COMPARED)
    assert leek.moves == []


def test_no_entropy_is_told_where_some_editions_do_not_correspond():
    missing = [BETWEEN[0], between(*STOPS[1:], found=False)]
    assert all(one.entropy is None for one in follow(STOPS, missing).followed)


def test_a_class_of_the_data_counts_for_the_published_class_with_most_of_its_terms():
    classes = {"t1": "x", "t2": "x", "t3": "y"}  # the committee moved t3 out of d
    one = Stop("s", classes, {}, {}, dict.fromkeys(classes, "d"))
    assert one.published_of() == {"d": "x"}


def rows_of(stops, found):
    wordings = [
        Wording({term: term.title() for term in one.classes},
                {name: f"Class {name}" for name in set(one.classes.values())},
                {held.id: held.line for held in here})
        for one, here in zip(stops, found.held, strict=True)
    ]  # fmt: skip
    return [row_of(one, stops, wordings) for one in found.followed]


@pytest.fixture(scope="module")
def rows(found):
    return rows_of(STOPS, found)


def test_rows_are_those_of_the_declared_table(rows, tmp_path):
    studies = [one.study for one in STOPS]
    TIMELINE.write(tmp_path / "t.csv", rows, further_columns(studies))
    read = {row["path"]: row for row in TIMELINE.read(tmp_path / "t.csv")}
    broad = read["wide > broad > broad"]
    assert (broad["term:old"], broad["term:middle"], broad["change:middle"]) == (
        "wide", "broad", "split",
    )  # fmt: skip
    assert broad["reason:middle"] == "too wide"
    assert (broad["class:old"], broad["class:middle"], broad["class:new"]) == ("a", "y", "a")
    assert broad["moves"] == 2
    assert read["leek > _ > leek"]["term:middle"] == ""
    assert read["leek > _ > leek"]["editions"] == 2


def drawn(stops, found, path):
    TIMELINE.write(path, rows_of(stops, found), further_columns([one.study for one in stops]))
    columns = [
        [{"band": name, "members": names} for name, names in column]
        for column in found.arranged.columns
    ]
    record = {
        "editions": [{"study": one.study} for one in stops],
        "classes": [{"line": held.line} for here in found.held for held in here],
        "drawing": {"columns": columns},
    }
    return picture_of(TIMELINE.read(path), record)


@pytest.fixture(scope="module")
def picture(found, tmp_path_factory):
    return drawn(STOPS, found, tmp_path_factory.mktemp("picture") / "t.csv")


def test_every_term_has_a_place_of_its_own_within_its_class(picture):
    for bands, one in zip(picture.columns, STOPS, strict=True):
        places = [member.row for band in bands for member in band.members]
        assert len(set(places)) == len(places)
        assert all(band.top < member.row < band.bottom for band in bands for member in band.members)
        told = {(member.label, band.name) for band in bands for member in band.members if band.line}
        assert told == {(term.title(), f"Class {name}") for term, name in one.classes.items()}


def test_bands_do_not_overlap_and_fit_the_height(picture):
    for bands in picture.columns:
        assert all(one.bottom < other.top for one, other in pairwise(bands))
        assert bands[0].top >= -1e-9
        assert bands[-1].bottom <= picture.rows + 1e-9


def test_a_line_is_drawn_for_every_step_and_through_editions_that_lack_the_term(picture):
    # old to middle: six kept, mover, two of the split, leek away; middle to new: as many
    assert [sum(s.place == place for s in picture.strands) for place in (0, 1)] == [10, 10]
    away = [strand for strand in picture.strands if strand.grade == NOT_COMPARED]
    assert [strand.place for strand in away] == [0, 1]


def test_what_enters_and_what_ends_is_marked(picture):
    entering = {m.label for bands in picture.columns for b in bands for m in b.members if m.enters}
    ending = [
        (at, m.label)
        for at, bands in enumerate(picture.columns)
        for band in bands
        for m in band.members
        if m.ends
    ]
    assert entering == set()  # parts of a split have a past, and so has what came back
    assert ending == [(0, "Leek")]  # the next edition does not have it, though a later one does


def test_the_line_of_a_path_that_is_interrupted_says_whose_it_is(picture):
    (away,) = (band for band in picture.columns[1] if not band.line)
    assert [member.label for member in away.members] == ["Leek"]


def test_a_term_called_away_is_a_term_as_any_other(tmp_path):
    groups = {"a": "a1 a2 a3 away", "b": "b1 b2 b3 b4"}
    stops = [stop(name, groups) for name in ("one", "two", "three")]
    found = follow(stops, [between(*stops[:2]), between(*stops[1:])])
    picture = drawn(stops, found, tmp_path / "t.csv")
    assert {strand.grade for strand in picture.strands} == {"none"}
    assert all(band.line for bands in picture.columns for band in bands)
