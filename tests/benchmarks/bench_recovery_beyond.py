"""
What the table of simulated partial studies is good for beyond the studies that it was made of.

`python tests/benchmarks/bench_recovery_beyond.py uneven`: 120 terms, 30 before each person, dealt
in uneven ways. From what comes back it is read off how many evenly dealt observers a pair would
have given back as much; beside it stand numbers that could be told of the design.

`... around`: other numbers of terms, of classes and of terms before each person, beside the row of
the table that a study is held against.

`... makes`: people of the makes of `tests/calibration`, whose share of terms astray nobody knows.
What comes back (of the groups that they know, or of the chart of 400 who sort all terms) stands
beside what the report tells of such a study.
"""

# ruff: noqa: E402 (the library is found only after the path is set)

import os

os.environ["OPENBLAS_NUM_THREADS"] = "1"

import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent), str(HERE.parents[1] / "scripts")]

import numpy as np
from calibration.cases import Person
from calibration.makes import HELD_OUT, MAKES
from felloe.foresight.assumptions import Habits, Truth, even_truth
from felloe.foresight.expected import recovery, shares_of
from felloe.foresight.pilot import habits_of
from felloe.foresight.sorters import drawn_sorts, least_seen
from felloe.ground.distances import rounded_dissimilarity
from felloe.ground.groups.agreement import adjusted_rand
from felloe.ground.groups.linkage import build_tree, cut
from felloe.ground.people.counts import count_observers
from felloe.ground.randomness import Streams
from felloe.ground.squares import condensed
from felloe.matrices.observers import averaged_observers, effective_observers
from felloe.matrices.recovery import Studied, kinds_like, where_it_lies
from felloe.matrices.recovery_tables import simulated_studies

TERMS, EACH, RUNS, LINKAGE = 120, 30, 16, "average"
NUMBERS = ("mean", "median", "least", "effective")


def even(rng, people, each=EACH, terms=TERMS, start=0):
    """Deal `each` of some terms evenly."""
    shown = np.zeros((people, TERMS), dtype=bool)
    shown[:, start : start + terms] = least_seen(rng, people, terms, each)
    return shown


def at_random(rng, people, weights=None):
    """Deal terms at random, with unequal chances if asked."""
    shown = np.zeros((people, TERMS), dtype=bool)
    for row in shown:
        row[rng.choice(TERMS, EACH, replace=False, p=weights)] = True
    return shown


def popular(rng, people):
    """Deal some terms far more often than others."""
    weights = np.exp(rng.normal(0.0, 0.7, TERMS))
    return at_random(rng, people, weights / weights.sum())


def unplaced(rng, people):
    """Deal evenly; everybody leaves between none and 60 % unplaced."""
    return even(rng, people) & (rng.random((people, TERMS)) < rng.uniform(0.4, 1, (people, 1)))


def two_sizes(rng, people):
    """Deal 21 to one half and 39 to the other, as 14 or 26 of 40."""
    return np.vstack([even(rng, people // 2, 21), even(rng, people - people // 2, 39)])


def late_terms(rng, people):
    """Deal 80 of the terms to two thirds of the people, and all to the others."""
    first = 2 * people // 3
    return np.vstack([even(rng, first, terms=80), even(rng, people - first)])


def seldom_crossed(rng, people):
    """Deal one half of the terms to a third, the other half to a third, and all to the others."""
    third = people // 3
    parts = [even(rng, third, terms=60), even(rng, third, terms=60, start=60)]
    return np.vstack([*parts, even(rng, people - 2 * third)])


def unequal(rng, people):
    """Deal evenly to four fifths, and evenly to one fifth."""
    return np.vstack([even(rng, 4 * people // 5), even(rng, people - 4 * people // 5)])


DEALT = {
    "at random": at_random, "21 or 39": two_sizes, "late terms": late_terms,
    "halves seldom crossed": seldom_crossed, "left unplaced": unplaced, "popular terms": popular,
    "80 / 20": unequal, "80 / 20, equal weights": unequal,
}  # fmt: skip


def parts_of(name, rows):
    """Return the rows by population where populations weigh the same; else all together."""
    return np.split(rows, [4 * len(rows) // 5]) if name.endswith("equal weights") else [rows]


def one_uneven(name, deal, people, astray, prior, run):
    """Return what came back of classes and subclasses, and the numbers of the design."""
    rng = np.random.default_rng([run, people, round(10 * astray), len(name)])
    truth, shown = even_truth(TERMS, 10, 3), deal(rng, people)[:, rng.permutation(TERMS)]
    piles = drawn_sorts(rng, truth, Habits(0.5, astray), shown)
    shares = np.mean([shares_of(part, prior) for part in parts_of(name, piles)], axis=0)
    tree = build_tree(rounded_dissimilarity(shares), LINKAGE)
    pairs = condensed(count_observers(shown))
    each = [effective_observers(condensed(count_observers(part))) for part in parts_of(name, shown)]
    return [
        adjusted_rand(cut(tree, 10), truth.classes), adjusted_rand(cut(tree, 30), truth.subclasses),
        pairs.mean(), np.median(pairs), pairs.min(), averaged_observers(each),
    ]  # fmt: skip


def uneven():
    """Print designs, the even number that gave back as much, and what could be told of them."""
    errors = {}
    for prior in (1.0, 0.0):
        for astray in (0.3, 0.5):

            def mean(name, deal, people, astray=astray, prior=prior):
                runs = [one_uneven(name, deal, people, astray, prior, run) for run in range(RUNS)]
                return np.mean(runs, axis=0)

            people = (15, 20, 30, 40, 50, 70, 100, 140, 200, 300, 400, 600)
            curve = np.array([mean("even", even, number) for number in people])
            rising = np.maximum.accumulate(curve[:, :2] + 1e-6 * np.arange(len(people))[:, None])
            for name, deal in DEALT.items():
                for number in (50, 100, 200):
                    *back, mean_, median, least, effective = mean(name, deal, number)
                    told = dict(zip(NUMBERS, (mean_, median, least, effective), strict=True))
                    line = f"prior {prior:g} astray {astray} {name:22} {number:4}"
                    for tier, index in enumerate(back):
                        logs = np.interp(index, rising[:, tier], np.log(curve[:, -1]))
                        line += f"  {index:.3f} as {np.exp(logs):5.2f}"
                        if 0.1 < index < 0.97:
                            for key, value in told.items():
                                errors.setdefault((prior, key), []).append(
                                    np.log(max(value, 0.05)) - logs
                                )
                    print(line, {key: round(float(value), 2) for key, value in told.items()})
    for (prior, key), found in errors.items():
        size = np.sqrt(np.mean(np.square(found)))
        print(f"prior {prior:g} {key:10} mean log error {np.mean(found):+.2f}, its size {size:.2f}")


def like(terms, classes, each, effective, prior=1.0):
    """Return the rows that the report would tell, by share astray; at the least the first ones."""
    kinds = kinds_like(Studied(terms, classes, each, prior, effective), simulated_studies())
    return {
        astray: where_it_lies(max(effective, kind[0].effective), kind)
        for astray, kind in kinds.items()
    }


def around():
    """Print what came back at 30 % astray beside the table's nearest rows."""
    sizes = [(300, 60, 10), (200, 60, 10), (600, 60, 10), (120, 60, 10), (120, 30, 10)]
    sizes += [(terms, 30, 10) for terms in (60, 90, 100, 180, 199)]
    sizes += [(300, each, 10) for each in (15, 20, 30, 100, 150)]
    sizes += [(300, 60, classes) for classes in (3, 5, 7, 14, 20, 30)]
    sizes += [(120, 30, classes) for classes in (5, 7, 12, 14, 20)]
    for wanted in (3.0, 5.9, 11.8):
        for terms, each, classes in sizes:
            people = round(wanted * terms * (terms - 1) / (each * (each - 1)))
            shown = least_seen(np.random.default_rng(1), people, terms, each)
            effective = effective_observers(condensed(count_observers(shown)))
            truth, found = even_truth(terms, classes, 3), []
            for run in range(8):
                rng = np.random.default_rng([run, terms, each, classes])
                dealt = shown[:, rng.permutation(terms)]
                back = recovery(
                    drawn_sorts(rng, truth, Habits(0.5, 0.3), dealt), truth, 1.0, LINKAGE
                )
                found.append((back.classes, back.subclasses))
            place = like(terms, classes, each, effective)[0.3]
            rows = [(one.class_rand, one.subclass_rand) for one in (place.below, place.above)]
            share = (effective - place.below.effective) / (
                place.above.effective - place.below.effective or 1.0
            )
            table = (1 - share) * np.array(rows[0]) + share * np.array(rows[1])
            print(
                f"{terms:4} terms {each:4} each {classes:3} classes {terms / classes:5.1f} a class "
                f"{people:5} people {effective:5.2f}: {np.mean(found, axis=0).round(2)} table "
                f"{table.round(2)} difference {(np.mean(found, axis=0) - table).round(2)}"
            )


def known_groups(name, structure, many):
    """Return classes and subclasses that people know; of makes without, those of many people."""
    if name == "places":
        return np.arange(TERMS) * 6 // TERMS, np.arange(TERMS) * 18 // TERMS
    if name == "nested":
        return structure.classes[structure.subclasses], structure.subclasses
    return cut(many, 8), cut(many, 16)


def makes():
    """Print what came back of people of other makes beside what the report would tell."""
    people = (49, 98, 197, 394)
    for name, make in {**MAKES, **HELD_OUT}.items():
        found, told_astray, sizes = [], [], set()
        for run in range(5):
            rng = np.random.default_rng([77, run])
            structure = make.structure(rng, TERMS)
            whole, piles = (
                np.array([make.sort(rng, structure, Person(None, 1.0)) for _ in range(number)])
                for number in (400, people[-1])
            )
            many = build_tree(rounded_dissimilarity(shares_of(whole, None)), LINKAGE)
            classes, subclasses = known_groups(name, structure, many)
            numbers = len(np.unique(classes)), len(np.unique(subclasses))
            sizes.add(numbers[0])
            shown = least_seen(rng, people[-1], TERMS, EACH)
            piles = np.where(shown, piles, -1)
            rows = []
            for number in people:
                tree = build_tree(rounded_dissimilarity(shares_of(piles[:number], 1.0)), LINKAGE)
                cuts = [cut(tree, one) for one in numbers]
                rows.append([adjusted_rand(cuts[0], classes), adjusted_rand(cuts[1], subclasses)])
            found.append(rows)
            told_astray.append(habits_of(piles, Truth(*cuts), 1.0, Streams(run, "makes")).astray)
        print(
            f"{name}: classes {sorted(sizes)}, astray as a pilot tells: {np.round(told_astray, 2)}"
        )
        for place, number in enumerate(people):
            effective = effective_observers(condensed(count_observers(shown[:number])))
            rows = like(TERMS, max(sizes), EACH, effective)
            got = np.array(found)[:, place]
            for tier, kind in enumerate(("class_rand", "subclass_rand")):
                low = min(getattr(one.below, kind) for one in rows.values())
                high = max(getattr(one.above, kind) for one in rows.values())
                print(
                    f"  {effective:5.1f} {kind:14} told {low:.2f} to {high:.2f}: mean "
                    f"{got[:, tier].mean():.2f}, studies {np.sort(got[:, tier]).round(2)}"
                )


if __name__ == "__main__":
    {"uneven": uneven, "around": around, "makes": makes}[sys.argv[1]]()
