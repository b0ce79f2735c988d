"""Whose sorts follow from the counts: against every way in which people could have sorted."""

from itertools import product

import numpy as np
import pytest
from felloe.archiving import command
from felloe.archiving.contents import Request
from felloe.archiving.giving_away import given_away
from felloe.archiving.sharing import refuse_given_away
from felloe.archiving.wholeness import Kept
from felloe.errors import StudyError
from felloe.ground.files.records import write_json
from felloe.ground.people.sorts import UNPLACED, Sorts
from felloe.ground.terms import Terms
from felloe.validation.analysed import write_analysed
from partial_example import as_shown, balanced_shown, lumpers_and_splitters

PARTITIONS = [(0, 0, 0), (0, 0, 1), (0, 1, 0), (0, 1, 1), (0, 1, 2)]  # of three terms


def laid_out(sets, ways):
    """Return the piles of people who were shown three of five terms each."""
    piles = np.full((len(sets), 5), UNPLACED)
    for row, own, way in zip(piles, sets, ways, strict=True):
        row[own] = way
    return piles


def counted(piles):
    together = (piles[:, :, None] == piles[:, None, :]) & (piles != UNPLACED)[:, :, None]
    return together.sum(axis=0)


def certain(sets, ways):
    """Return of how many people one sort alone fits the counts, by trying all that there are."""
    counts = counted(laid_out(sets, ways))
    tried = product(PARTITIONS, repeat=len(sets))
    fit = [one for one in tried if (counted(laid_out(sets, one)) == counts).all()]
    return sum(len({one[person] for one in fit}) == 1 for person in range(len(sets)))


@pytest.mark.parametrize("seed", range(40))
def test_nobody_is_given_away_who_could_have_sorted_otherwise(seed):
    rng = np.random.default_rng(seed)
    sets = [np.sort(rng.choice(5, 3, replace=False)) for _ in range(4)]
    ways = [PARTITIONS[rng.integers(5)] for _ in range(4)]
    assert given_away(laid_out(sets, ways)) <= certain(sets, ways)


def test_it_is_mostly_found_out_where_there_is_one_way_alone():
    rng, found, true = np.random.default_rng(7), 0, 0
    for _ in range(60):
        sets = [np.sort(rng.choice(5, 3, replace=False)) for _ in range(4)]
        ways = [PARTITIONS[rng.integers(5)] for _ in range(4)]
        found, true = found + given_away(laid_out(sets, ways)), true + certain(sets, ways)
    assert true > 60
    assert found > 0.75 * true


def test_pairs_that_one_person_saw_are_that_person_s():
    # 7 terms in 7 sets of 3, every pair in one of them (Fano's plane)
    lines = ["012", "034", "056", "135", "146", "236", "245"]
    piles = np.full((7, 7), UNPLACED)
    for row, line, way in zip(piles, lines, [*PARTITIONS, *PARTITIONS], strict=False):
        row[[int(term) for term in line]] = way
    assert given_away(piles) == 7


def test_many_observers_who_stray_give_nobody_away():
    rng = np.random.default_rng(3)
    piles, *_ = lumpers_and_splitters(rng, 60, 20, 4, 2, 0.3)
    assert given_away(as_shown(piles, balanced_shown(rng, 60, 20, 10))) == 0


def test_a_study_that_gives_sorts_away_is_not_passed_on():
    terms = Terms("abcde")
    sets, ways = [[0, 1, 2], [2, 3, 4]], [(0, 0, 1), (0, 1, 1)]
    sorts = Sorts(("p", "q"), ("panel", "panel"), terms, laid_out(sets, ways), 1.0)
    with pytest.raises(StudyError, match=r"panel \(2 of 2 people\).*Nothing was written"):
        refuse_given_away("guild", sorts)


@pytest.mark.parametrize(
    ("people", "record", "said"),
    [
        (False, {"partial": True}, True),
        (False, {}, False),  # whole sorts of two people: another matter
        (True, {"partial": True}, False),  # their sorts are in it anyway
    ],
)
def test_an_archive_without_people_says_on_the_screen_whose_sorts_follow(
    tmp_path, monkeypatch, capsys, people, record, said
):
    home = tmp_path / "results" / "guild" / "validation"
    home.mkdir(parents=True)
    write_json(home / "study.json", record)
    piles = laid_out([[0, 1, 2], [2, 3, 4]], [(0, 0, 1), (0, 1, 1)])
    write_analysed(
        home / "analysed.csv", Sorts(("p", "q"), ("panel", "panel"), Terms("abcde"), piles, 1.0)
    )
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(command, "members_of", lambda request: {})
    kept = [Kept("results/guild", {"study": "guild"}, {})]
    command.made(Request("guild", people, {}, kept), "")
    told = capsys.readouterr().out
    assert "archives/guild.zip" in told
    assert ("panel (2 of 2 people). The counts are in the archive" in told) == said
