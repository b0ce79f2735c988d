"""What is kept of a plan that is held against studies of other people."""

import numpy as np
import pytest
from calibration import run_foresight
from calibration.makes import MAKES
from calibration.run_foresight import People, rows
from felloe.ground.people.sorts import UNPLACED
from felloe.ground.randomness import Streams


@pytest.fixture
def people():
    return People(MAKES["places"], Streams(1, "foresight"))


def test_people_of_one_study_are_the_same_whenever_they_are_asked(people):
    few, many = people.sorts("study 0", 3, 4), people.sorts("study 0", 3, 6)
    assert (many[:4] == few).all()
    assert (people.sorts("study 0", 4, 4) != few).any()


def test_only_the_second_population_places_terms_elsewhere(people):
    shown = [np.ones((5, run_foresight.TERMS), dtype=bool)] * 2
    alike, moved = people.study(0, shown, 0), people.study(0, shown, 12)
    assert (alike[0] == moved[0]).all()
    assert (alike[1] != moved[1]).any()


def test_what_was_not_shown_is_not_placed(people):
    shown = [np.arange(run_foresight.TERMS) < 16 + np.zeros((3, 1))] * 2
    for piles in people.study(0, shown, 0):
        assert ((piles == UNPLACED) == ~shown[0]).all()


def told(promised, real, moved, seen):
    names = ("reliability", "classes", "subclasses")
    return {
        "each": 40,
        "people": 80,
        "promised": {**dict.fromkeys(names, promised), "moved": moved[0]},
        "real": {**dict.fromkeys(names, real), "moved": moved[1], "seen": seen},
    }


def test_the_table_is_that_made_by_hand():
    kept = [
        {"make": "places", "pilot": 0, "cells": [told(0.9, 0.7, (2, 4), 0.6)]},
        {"make": "places", "pilot": 1, "cells": [told(0.7, 0.8, (None, 13), None)]},
        {"make": "nested", "pilot": 0, "cells": [told(0.1, 0.1, (1, 1), 1.0)]},
    ]
    # 14 stands for more than 13, a third of 40 terms
    both = "0.80 / 0.75 (+0.20)"
    assert list(rows(kept, "places")) == [
        f"| places | 40 | 80 | {both} | {both} | {both} | 8 / 8.5 | 0.60 |"
    ]
