"""What the page of a timeline says, on both sides of each bound."""

import pytest
from felloe.timeline import follow_words, words

EDITIONS = [
    {"study": "s1", "edition": "1999", "provisional": False},
    {"study": "s2", "edition": "2009", "provisional": True},
    {"study": "s3", "edition": "2019", "provisional": False},
]


def row(**cells):
    plain = {"surest": "", "moves": 0, "editions": 3, "entropy": 0.0,
             "entropy_replicates": 0.0, "entropy_editions": 0.0}  # fmt: skip
    return {**plain, **cells}


@pytest.mark.parametrize(
    ("rows", "part"),
    [
        ([], "No term is known"),
        ([row(surest="possible", moves=1)], "No move is robust"),
        ([row(surest="robust", moves=1)], "1 of 1 moved robustly"),
        ([row(surest="robust", moves=2)], "1 moved more than once"),
    ],
)
def test_moves_are_announced_only_where_they_are_robust(rows, part):
    assert part in follow_words.moves(rows)


def pair(found=True, **classes):
    return {"found": found, "classes": {"born": 0, "split": 0, "gone": 0, "joined": 0, **classes}}


@pytest.mark.parametrize(
    ("pairs", "part"),
    [
        ([pair(), pair()], "Every class goes through"),
        ([pair(), pair(born=1)], "1 class was born"),
        ([pair(), pair(gone=1, split=1)], "2 classes were"),
        ([pair(found=False), pair()], "do not correspond"),
    ],
)
def test_classes_are_told_as_one_story_only_where_they_are(pairs, part):
    assert part in follow_words.classes(pairs)


@pytest.mark.parametrize(
    ("rows", "part"),
    [
        ([row(entropy=0.49)], "No term is without"),
        ([row(entropy=0.5, entropy_replicates=0.3)], "1 of 1 term has 0.5 nats"),
        ([row(entropy=0.5, entropy_replicates=0.3, entropy_editions=0.2)], "1 of those that never"),
        ([row(entropy=0.9, entropy_replicates=0.1, entropy_editions=0.8)], "Of 1 that stayed"),
        (
            [row(entropy=0.9, moves=1), row(entropy=0.9), row(entropy=0.9), row(entropy=0.1)],
            "3 of 4 terms have 0.5 nats or more: 1 moved, 2 never did.",
        ),
    ],
)
def test_unsettled_terms_are_told_from_half_a_nat_on(rows, part):
    assert part in follow_words.entropy(rows)


def test_who_moved_is_not_counted_among_those_whose_definition_is_asked_for():
    rows = [row(entropy=0.9, entropy_replicates=0.9, moves=1)]
    assert "definition" not in follow_words.entropy(rows)


def test_classes_that_go_back_to_the_first_edition_are_counted_by_their_line():
    first = {"line": 1, "began": "first", "ended": "continued"}
    last = [{"line": 1, "began": "continued", "ended": "last"},
            {"line": 2, "began": "born", "ended": "last"}]  # fmt: skip
    assert "1 of the 2 classes" in follow_words.lines([first, *last])


PATH = {
    "term:s1": "hot", "term:s2": "", "term:s3": "heat",
    "class_name:s1": "Spice", "class_name:s2": "", "class_name:s3": "Pungent",
    "label:s1": "Hot", "label:s3": "Heat", "change:s3": "renamed", "migration:s3": "possible",
}  # fmt: skip


def test_a_move_is_told_with_both_editions_their_classes_and_its_grade():
    assert words.moved(PATH, EDITIONS) == "1999: Spice \u2192 2019: Pungent (possible)"
    assert words.moved({**PATH, "migration:s3": "none"}, EDITIONS) == ""


@pytest.mark.parametrize(
    ("cells", "expected"),
    [
        ({}, "Pungent (renamed, before: Hot, possible move)"),
        ({"change:s3": "kept", "migration:s3": "none", "label:s1": "Heat"}, "Pungent"),
        ({"change:s3": "kept", "migration:s3": "none"}, "Pungent (before: Hot)"),
        (
            {"change:s3": "returned", "migration:s3": "not_compared", "label:s1": "Heat"},
            "Pungent (came back)",
        ),
        (
            {"change:s3": "split", "migration:s3": "robust"},
            "Pungent (split, before: Hot, robust move)",
        ),
        ({"term:s3": ""}, "\u2013"),
    ],
)
def test_every_stop_tells_what_happened_on_the_way(cells, expected):
    assert words.stop({**PATH, **cells}, "s3") == expected


def test_a_path_is_called_by_its_last_label_with_all_earlier_ones():
    path = {"label": "Heat", "label:s1": "Hot", "label:s2": "Warm", "label:s3": "Heat"}
    assert words.named(path) == "Heat (before: Hot, Warm)"
    assert words.named({**path, "label:s1": "Heat", "label:s2": ""}) == "Heat"


def test_provisional_editions_are_named():
    assert words.provisional(EDITIONS).startswith("The chart of 2009 is provisional")
    assert words.provisional([EDITIONS[0]]) == ""


@pytest.mark.parametrize(
    ("began", "ended", "expected"),
    [
        ("first", "continued", "in the first edition"),
        ("split", "joined", "split from Old (1 of 1), joined New (4 of 5)"),
        ("born", "gone", "born, gone in the next edition"),
        ("continued", "last", "continues Old (1 of 1)"),
    ],
)
def test_a_class_is_told_with_where_it_came_from_and_what_became_of_it(began, ended, expected):
    names = {(0, "o"): "Old", (2, "n"): "New"}
    origin = {"shared": 1, "common": 1} if began in ("split", "continued") else None
    into = {"shared": 4, "common": 5} if ended in ("joined", "continued") else None
    one = {"began": began, "origin": "o", "ended": ended, "into": "n",
           "from_origin": origin, "in_into": into}  # fmt: skip
    assert words.class_told(one, names, 1) == expected
