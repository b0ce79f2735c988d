"""
How often the numbers of people that the dossier plans would have settled it.

    PYTHONPATH=scripts:tests python tests/calibration/run_planning.py

takes some minutes on one core and prints the table of DEVELOPERS.md. A study whose equivalence is
not shown is planned for; then another study of the same truth is drawn, with as many further
people of each population as the plan asked for, and asked the two criteria that a plan is about:
the lower end of the corrected correlation and the smaller reliability. Nobody of the first study
takes part in the second, so the plan is judged by people it never saw.
"""

import sys

import numpy as np
from calibration.cases import Case, invent
from calibration.judging import agreed_margins
from calibration.makes import MAKES
from felloe.comparison.corrected import corrected_correlation
from felloe.comparison.planning import people_to_settle
from felloe.ground.halves import split_half_reliability
from felloe.ground.pairs import pair_vectors, person_covariances

STUDIES = 40
HALVES = 50
SIZES = ((10, 10), (15, 15), (20, 20))
MOST = 150  # people of each; larger plans are counted and not drawn


def looked_at(piles, first, rng):
    """Return the corrected correlation and the reliabilities of two populations."""
    vectors = pair_vectors(piles)
    reliabilities = tuple(
        split_half_reliability(vectors.of(group), HALVES, rng) for group in (first, ~first)
    )
    return corrected_correlation(person_covariances(vectors), first), reliabilities


def shown(correlation, reliabilities, margins):
    """Return whether both criteria of equivalence are met."""
    least = min(one.reliability for one in reliabilities)
    return correlation.low >= margins.corrected_r and least >= margins.reliability


def row(make, sizes, studies):
    """Return one row of the table."""
    margins, case = agreed_margins(), Case("equality", people=sizes)
    open_, unplanned, large, held, asked = 0, 0, 0, [], []
    for study in range(studies):
        rng = np.random.default_rng([sizes[0], study])
        invented = invent(make, case, rng)
        correlation, reliabilities = looked_at(*invented.people(rng, sizes), rng)
        if shown(correlation, reliabilities, margins):
            continue
        open_ += 1
        plan = people_to_settle(correlation, reliabilities, sizes, margins)
        if plan.both is None:
            unplanned += 1
        elif sizes[0] + plan.both > MOST:
            large += 1
        else:
            asked.append(plan.both)
            more = sizes[0] + plan.both, sizes[1] + plan.both
            held.append(shown(*looked_at(*invented.people(rng, more), rng), margins))
    share = f"{np.mean(held):.2f} of {len(held)}" if held else "none"
    middle = f"{np.median(asked):.0f}" if asked else "none"
    cells = (make.name, f"{sizes[0]} + {sizes[1]}", open_, unplanned, large, middle, share)
    return f"| {' | '.join(map(str, cells))} |"


if __name__ == "__main__":
    number = int(sys.argv[1]) if len(sys.argv) > 1 else STUDIES
    for one in MAKES.values():
        for people in SIZES:
            print(row(one, people, number), flush=True)
