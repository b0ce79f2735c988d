"""Maps of terms: majorisation from one start until it stands."""

import numpy as np
from benchmarks.side_by_side.kernel import OURS, Kernel, Side
from felloe.circle.map.disparities import METRIC, ORDINAL, Model
from felloe.circle.map.map_evidence import starting_maps
from felloe.circle.map.scaling import MOVES, scale
from scipy.optimize import isotonic_regression
from scipy.spatial.distance import pdist, squareform

TEXTBOOK = "SciPy, the textbook loop"
ROUNDS, TOLERANCE = 500, 1e-5
SAME = 0.01  # of stress-1: a slow end, stopped by the same rule at rounds of another length


def wanted_of(given, apart, kind):
    """Return what distances should be, as large as the dissimilarities together."""
    if kind == ORDINAL:
        order = np.lexsort([apart, given])
        fitted = np.empty_like(apart)
        fitted[order] = isotonic_regression(apart[order]).x
    else:
        fitted = given * (apart @ given) / (given @ given)
    return fitted


def majorised(given, points, kind):
    """Return the stress-1 of one map that is moved until its stress hardly changes."""
    n_terms, before = len(points), np.inf
    for _ in range(ROUNDS):
        apart = pdist(points)
        fitted = wanted_of(given, apart, kind)
        stress = np.sqrt(((apart - fitted) ** 2).sum() / (apart**2).sum())
        if abs(before - stress) <= TOLERANCE * stress:
            break
        before = stress
        fitted = fitted * np.sqrt((given @ given) / (fitted @ fitted))
        pull = -squareform(np.divide(fitted, apart, out=np.zeros_like(apart), where=apart > 1e-12))
        np.fill_diagonal(pull, -pull.sum(axis=1))
        points = pull @ points / n_terms
    return stress


def map_floor(n_pairs, rounds, kind):
    """Return the least work of so many rounds of one map in the plane."""
    sort = n_pairs * np.log2(n_pairs) if kind == ORDINAL else 0.0
    regression = 5.0 * n_pairs
    move = 8.0 * n_pairs  # two differences, squared, added, rooted, divided, multiplied twice
    return {
        "comparisons": rounds * sort,
        "passes": rounds * (regression + MOVES * move),
        "gathers": rounds * MOVES * 4.0 * n_pairs,
        "scatters": rounds * MOVES * 4.0 * n_pairs,
    }


def made(study, kind):
    """A map from principal coordinates and from random starts."""
    pairs, timed = study.distances.pairs, 2 if study.n_terms > 100 else 4
    begun = starting_maps(study.distances.D, 8, np.random.default_rng(1))
    model = Model(kind)

    def ours(starts):
        return scale(pairs, begun[:starts], model, ROUNDS, TOLERANCE).stress

    rounds = float(scale(pairs, begun[:timed], model, ROUNDS, TOLERANCE).rounds.mean())
    return Kernel(
        name=f"{kind} map",
        size=f"{study.n_terms:,} terms",
        unit="start",
        sides={  # both from the same starts, of which the first takes fewest rounds
            OURS: Side(ours, timed),
            TEXTBOOK: Side(
                lambda starts: [majorised(pairs, one, kind) for one in begun[:starts]], timed
            ),
        },
        apart=lambda one, other: float(np.abs(np.subtract(one, other)).max()),
        tolerance=SAME,
        checked=1,  # random starts may end in other hollows
        floor=[map_floor(study.n_pairs, rounds, kind)],
        counted=f"{rounds:.0f} rounds, as many as ours took: a sort and a regression (ordinal) or "
        f"a factor, and {MOVES} moves of every pair",
    )


def metric(study):
    """A metric map."""
    return made(study, METRIC)


def ordinal(study):
    """An ordinal map."""
    return made(study, ORDINAL)
