"""People's own words for piles: who counts, for which group, and what is told."""

from fractions import Fraction
from itertools import permutations

import numpy as np
import pytest
from felloe.ground.people.sorts import UNPLACED, Sorts
from felloe.ground.terms import Terms
from felloe.tiers.steps.count_words import main as count_words
from felloe.tiers.tables import PLACES, WORDS
from felloe.tiers.word_counts import NamedPile, candidates, compared, overlap, phrases
from felloe.validation.analysed import write_analysed
from felloe.validation.tables import PILE_WORDS

ALL = frozenset("abcdefgh")
GROUPS = {"a": frozenset("abc"), "d": frozenset("def"), "g": frozenset("gh")}


def pile(person, terms, words, placed=ALL):
    return NamedPile(person, frozenset(terms), frozenset(placed), words)


def test_the_overlap_is_the_share_of_the_terms_of_either_that_are_in_both():
    # Jaccard: intersection over union, counted by hand
    assert overlap(pile("p", "abd", ""), "abc") == Fraction(2, 4)
    assert overlap(pile("p", "abc", ""), "abc") == 1
    assert overlap(pile("p", "de", ""), "abc") == 0


def test_what_a_person_did_not_place_counts_neither_way():
    assert overlap(pile("p", "ab", "", placed="abdef"), "abc") == 1


def test_words_are_parted_and_blanks_are_one():
    assert phrases(" sour,  very   sharp / acid;sour\n") == ["sour", "very sharp", "acid"]
    assert phrases(" ,; ") == []


def test_what_nobody_sees_makes_no_word_of_its_own():
    assert phrases("sh\u00adarp\u200b, e\u2060\u0301") == ["sharp", "é"]


def test_composed_and_capital_letters_are_the_same_word():
    assert compared("SÜSS") == compared("su\u0308ss") == compared("süß")


def test_a_pile_counts_for_the_group_that_it_overlaps_most():
    piles = [pile(f"p{n}", "abcd", "sharp") for n in range(3)]
    (only,) = candidates(piles, GROUPS, 3)
    assert (only.group, only.word, only.people, only.jaccard) == ("a", "sharp", 3, 0.75)


def test_a_pile_between_two_groups_counts_for_both():
    piles = [pile(f"p{n}", "abcdef", "all") for n in range(3)]
    assert [(one.group, one.jaccard) for one in candidates(piles, GROUPS, 3)] == [
        ("a", 0.5), ("d", 0.5),
    ]  # fmt: skip


@pytest.mark.parametrize("people", [1, 2, 3, 4])
def test_only_words_of_enough_people_are_told(people):
    piles = [pile(f"p{n}", "abc", "Sharp") for n in range(people)]
    found = candidates(piles, GROUPS, 3)
    assert [one.people for one in found] == ([people] if people >= 3 else [])


def test_a_person_counts_once_with_the_pile_that_overlaps_most():
    piles = [pile(f"p{n}", "abc", "sharp, sharp") for n in range(2)]
    piles += [pile("p0", "a", "Sharp"), pile("p2", "ab", "SHARP")]
    (only,) = candidates(piles, GROUPS, 3)
    assert only.people == 3
    assert only.jaccard == pytest.approx((1 + 1 + Fraction(2, 3)) / 3)


def test_nobodys_own_spelling_is_told():
    written = ["Sharp", "sharp", "SHARP", "SHarp"]
    piles = [pile(f"p{n}", "abc", words) for n, words in enumerate(written)]
    assert [one.word for one in candidates(piles, GROUPS, 3)] == ["sharp"]
    piles += [pile(f"q{n}", "abc", "Sharp") for n in range(2)]
    assert [one.word for one in candidates(piles, GROUPS, 3)] == ["Sharp"]


def test_the_order_of_people_changes_nothing():
    piles = [
        pile("p0", "abc", "sharp"), pile("p1", "ab", "Sharp"), pile("p2", "abd", "sharp"),
        pile("p3", "a", "SHARP"), pile("p4", "de", "soft"),
    ]  # fmt: skip
    expected = candidates(piles, GROUPS, 2)
    assert all(candidates(order, GROUPS, 2) == expected for order in permutations(piles))


def test_the_step_counts_analysed_people_alone(tmp_path):
    terms = Terms(sorted(ALL))
    piles = np.array([[1, 1, 1, 2, 2, 2, 3, UNPLACED]] * 4, dtype=np.int16)
    people = tuple(f"p{n}" for n in range(4))
    write_analysed(tmp_path / "analysed.csv", Sorts(people, ("x",) * 4, terms, piles))
    said = [("gone", 1, "sharp"), *((who, 1, "sharp") for who in people), ("p0", 2, "own words")]
    PILE_WORDS.write(tmp_path / "words.csv", sorted(said))
    home = {term: group for group, own in GROUPS.items() for term in own}
    empty = dict.fromkeys(PLACES.names, "")
    rows = [
        {**{name: _blank(name) for name in empty}, "term": term, "class": home[term],
         "subclass": home[term]}
        for term in sorted(ALL)
    ]  # fmt: skip
    PLACES.write(tmp_path / "places.csv", rows)
    paths = {"analysed": "analysed", "pile_words": "words", "places": "places", "words": "o"}
    count_words(
        smallest_cell=3, **{name: str(tmp_path / f"{file}.csv") for name, file in paths.items()}
    )
    assert [tuple(row.values()) for row in WORDS.read(tmp_path / "o.csv")] == [
        ("class", "a", "sharp", 4, 1.0), ("subclass", "a", "sharp", 4, 1.0),
    ]  # fmt: skip
    assert "own words" not in (tmp_path / "o.csv").read_text(encoding="utf-8")


@pytest.mark.parametrize(("people", "told"), [(2, []), (3, ["sharp"] * 2)])
def test_words_of_two_are_told_nowhere_whatever_the_settings_say(tmp_path, people, told):
    who = tuple(f"p{n}" for n in range(people))
    terms, piles = Terms(tuple("ab")), np.ones((people, 2), dtype=np.int32)
    sorts = Sorts(who, ("x",) * people, terms, piles)
    write_analysed(tmp_path / "analysed.csv", sorts)
    rows = [{"participant": f"p{n}", "pile": 1, "words": "sharp"} for n in range(people)]
    PILE_WORDS.write(tmp_path / "words.csv", rows)
    empty = {name: _blank(name) for name in PLACES.names}
    group = {"class": "a", "subclass": "a"}
    PLACES.write(tmp_path / "places.csv", [{**empty, "term": term, **group} for term in "ab"])
    names = {"analysed": "analysed", "pile_words": "words", "places": "places", "words": "o"}
    paths = {name: str(tmp_path / f"{file}.csv") for name, file in names.items()}
    count_words(smallest_cell=2, **paths)
    assert [row["word"] for row in WORDS.read(tmp_path / "o.csv")] == told


def _blank(name):
    kind = next(column.kind for column in PLACES.columns if column.name == name)
    return "" if kind in ("id", "text", "colour") else None
