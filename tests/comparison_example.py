"""Small invented studies of two or three populations, and what the comparison makes of them."""

import json
from dataclasses import replace

import numpy as np
from calibration.attributes import ATTRIBUTES
from calibration.cases import Case, invent
from calibration.sorting_people import CASES, invented_sorts, two_populations
from felloe.comparison.dossier import compare_populations
from felloe.comparison.pair import Settings
from felloe.comparison.record import dossier_record
from felloe.comparison.verdict import Margins
from felloe.ground.files.records import jsonable
from felloe.ground.people.sorts import Sorts
from felloe.ground.randomness import Streams
from felloe.matrices.counts import counts_by_population

MARGINS = Margins(
    corrected_r=0.9,
    reliability=0.7,
    changing_class=0.05,
    stable_cut=0.1,
    named_terms=0.15,
    alpha=0.05,
)
SETTINGS = Settings(
    permutations=199, shape_permutations=199, splits=40, halves=40, granularity_bins=6,
    linkage="average",
    numbers=(6, 18),
)  # fmt: skip
STREAMS = Streams(1, "a-study")
LABELS = {"makers": "Makers", "panel": "Panel", "guests": "Guests"}
ONE_POPULATION, MOVED = CASES[0], CASES[3]


def sorts_of(case, seed, names=("makers", "panel")):
    """Return the sorts of twenty people of each population."""
    piles, first = two_populations(case, np.random.default_rng(seed), 20)
    return invented_sorts(piles, first, names)


def sorts_of_few(seed):
    """Return the sorts of eight and twelve people of one mind, too few to tell anything."""
    rng, people = np.random.default_rng(seed), (8, 12)
    invented = invent(ATTRIBUTES, Case("few", people=people), rng)
    return invented_sorts(*invented.people(rng, people), ("makers", "panel"))


def sorts_of_three(seed):
    """Return the sorts of three populations, of which two place a tenth of the terms otherwise."""
    one, other = sorts_of(ONE_POPULATION, seed), sorts_of(MOVED, seed)
    third = other.of("panel").piles
    piles = np.vstack([one.piles, third])
    people = tuple(f"p{number:02d}" for number in range(len(piles)))
    return Sorts(people, one.populations + ("guests",) * len(third), one.terms, piles)


def with_numbers(numbers):
    """Return the settings with other numbers of classes and subclasses."""
    return replace(SETTINGS, numbers=numbers)


def dossier_of(sorts, settings=SETTINGS):
    """Compare the populations of some sorts."""
    return compare_populations(sorts, counts_by_population(sorts), settings, MARGINS, STREAMS)


def record_of(dossier, sorts):
    """Return the dossier's record as it is read from JSON."""
    record = dossier_record(dossier, sorts, SETTINGS.numbers, MARGINS, least=3)
    return json.loads(json.dumps(jsonable(record)))
