"""How many groups: indices over a range of cuts of one tree, and a rule to choose."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from felloe.clustering.replicates.replicate_trees import cuts
from felloe.ground.arrays import Floats, Ints
from felloe.ground.correlation import average_ranks
from felloe.ground.groups.linkage import cut
from felloe.ground.rounding import DISTANCE_DECIMALS, HEIGHT_DECIMALS, PRODUCT_DECIMALS

# Milligan & Cooper (1985) found this number of standard deviations best in Mojena's rule.
MOJENA_STEP = 1.25
# Share of data sets without structure whose groups are tighter than the line of their number.
TIGHT_BY_CHANCE = 0.05
# Whole numbers in which distances are added up: their last decimal.
UNITS = 10.0**DISTANCE_DECIMALS
# Index, and whether more of it is better. The gap by its own rule (`gap_distance`) and PAC over PAC
# without structure are printed beside; people held out of the choice gained nothing from them.
CRITERIA = (
    ("silhouette", True),
    ("gap_criterion", True),
    ("height_gap", True),
    ("minimum_jaccard", True),
    ("pac", False),
    ("bootstrap_rand", True),
)


def silhouettes(D: Floats, labels: Ints) -> Floats:
    """
    Silhouette width of every term.

    Parameters
    ----------
    D : (N, N) array of float
    labels : (N,) array of int
        0 to k - 1, k >= 2.

    Returns
    -------
    (N,) array of float
        -1 to 1; 0 for a term that is alone in its group.

    References
    ----------
    Rousseeuw (1987), Journal of Computational and Applied Mathematics 20:53-65.
    """
    return silhouettes_of_sums(group_sums(D, labels), labels)


def group_sums(D: Floats, labels: Ints) -> Floats:
    """
    Return the sum of distances of every term to every group, (N, k).

    In whole units of the last decimal, so that sums are the same in whatever order they are made.
    """
    inside = np.eye(labels.max() + 1)[labels]
    return np.asarray(np.rint(D * UNITS) @ inside)


def silhouettes_of_sums(sums: Floats, labels: Ints) -> Floats:
    """
    Return the silhouette width of every term from its sums of distances.

    Parameters
    ----------
    sums : (N, k) array of float
        As returned by `group_sums`; groups may be empty.
    labels : (N,) array of int

    Returns
    -------
    (N,) array of float
    """
    sizes = np.bincount(labels, minlength=sums.shape[1]).astype(float)
    terms, sums = np.arange(len(labels)), sums / UNITS
    own = sums[terms, labels] / np.maximum(sizes[labels] - 1, 1)
    means = np.where(sizes > 0, sums / np.maximum(sizes, 1), np.inf)
    means[terms, labels] = np.inf
    other = means.min(axis=1)
    larger = np.maximum(own, other)
    width = np.divide(other - own, larger, out=np.zeros(len(labels)), where=larger > 0)
    return np.asarray(np.where(sizes[labels] > 1, width, 0.0))


def log_within(D: Floats, labels: Ints) -> float:
    """
    Logarithm of the pooled within-group dispersion.

    Parameters
    ----------
    D : (N, N) array of float
        Squared Euclidean distances, as `1 - S` of complete sorts are.
    labels : (N,) array of int

    Returns
    -------
    float
        Minus infinity where every group is one point.

    References
    ----------
    Tibshirani, Walther & Hastie (2001), Journal of the Royal Statistical Society B 63:411-423,
    equations 1 and 2 (numbers from memory).
    """
    inside = np.eye(labels.max() + 1)[labels]
    of_group = ((D @ inside) * inside).sum(axis=0)
    within = float((of_group / (2.0 * inside.sum(axis=0))).sum())
    return round(float(np.log(within)), PRODUCT_DECIMALS) if within > 1e-12 else float("-inf")


def gap_statistics(observed: Floats, null: Floats) -> tuple[Floats, Floats]:
    """
    Gap statistic and its standard error for each number of groups.

    Parameters
    ----------
    observed : (K,) array of float
        `log_within` of the data for each number.
    null : (M, K) array of float
        The same for M data sets without structure.

    Returns
    -------
    gap, error : (K,) array of float

    References
    ----------
    Tibshirani, Walther & Hastie (2001); the reference data are the sorts with terms permuted
    within participants instead of points drawn in a box.
    """
    gap = null.mean(axis=0) - observed
    error = null.std(axis=0) * np.sqrt(1.0 + 1.0 / len(null))
    return np.round(gap, PRODUCT_DECIMALS), np.round(error, PRODUCT_DECIMALS)


def gap_number(numbers: Sequence[int], criterion: Floats) -> int:
    """
    Return the number of groups that the gap statistic asks for.

    Parameters
    ----------
    numbers : sequence of int
        Ascending.
    criterion : (K,) array of float
        Gap of each number, less that of the next, plus the error of the next.

    Returns
    -------
    int
        The smallest number whose gap is within one standard error of the next one's; the
        largest if there is none, for the gap still rises there.

    References
    ----------
    Tibshirani, Walther & Hastie (2001), step 4 of the computation.
    """
    enough = np.flatnonzero(criterion >= 0)
    return int(numbers[enough[0] if len(enough) else -1])


def null_heights(trees: Sequence[Floats], numbers: Sequence[int]) -> dict[int, float]:
    """
    Return how tight so many groups are by chance.

    A cut claims that its groups hold together, so what counts is the last merge that it makes.
    The merge that it leaves undone says nothing of that: in data with structure it is higher
    than by chance, whatever lies below it.

    Parameters
    ----------
    trees : sequence of (N - 1, 4) array of float
        Trees of data sets without structure.
    numbers : sequence of int
        Numbers of groups.

    Returns
    -------
    dict of int to float
        By number, the `TIGHT_BY_CHANCE` quantile over the trees of the last merge made, which is
        `height_low` of the same cut.
    """
    made = np.array([[height_limits(tree[:, 2], k)[0] for k in numbers] for tree in trees])
    lines = np.round(np.quantile(made, TIGHT_BY_CHANCE, axis=0), PRODUCT_DECIMALS)
    return dict(zip(numbers, lines.tolist(), strict=True))


def mojena_scores(heights: Floats, numbers: Sequence[int]) -> tuple[Floats, int]:
    """
    Standardised height of the merge that each cut leaves undone first.

    Parameters
    ----------
    heights : (N - 1,) array of float
    numbers : sequence of int
        Numbers of groups, 2 to N.

    Returns
    -------
    scores : (K,) array of float
        (height - mean) / standard deviation.
    recommended : int
        One more than the merges higher than mean + `MOJENA_STEP` standard deviations.

    References
    ----------
    Mojena (1977), The Computer Journal 20:359-363. Milligan & Cooper (1985), Psychometrika
    50:159-179, for the step.
    """
    spread = heights.std(ddof=1)
    if spread == 0:
        return np.zeros(len(numbers)), 1
    scores = (heights - heights.mean()) / spread
    n_terms = len(heights) + 1
    return scores[[n_terms - k for k in numbers]], int((scores > MOJENA_STEP).sum()) + 1


def height_limits(heights: Floats, k: int) -> tuple[float, float]:
    """
    Heights between which a cut gives `k` groups.

    Parameters
    ----------
    heights : (N - 1,) array of float
    k : int
        2 to N.

    Returns
    -------
    low, high : float
        Of the last merge made (0 if none) and of the next one. Equal heights mean that the
        cut goes through a tie.
    """
    n_terms = len(heights) + 1
    return float(heights[n_terms - k - 1]) if k < n_terms else 0.0, float(heights[n_terms - k])


def choose(rows: Sequence[Mapping[str, Any]]) -> tuple[int, list[float]]:
    """
    Recommend a number of groups.

    Eligible are the numbers whose groups are tighter than as many groups without structure
    and whose cut does not go through a tie; if there are none, the second condition is dropped,
    then the first. Small groups do not count against a number: a term that belongs nowhere is a
    group of its own. Among them the best mean rank over `CRITERIA` wins (ties share their mean
    rank), and the smaller number where mean ranks are equal.

    Parameters
    ----------
    rows : list of dict
        One per number: `n_classes`, `below_null`, `tied` and the criteria.

    Returns
    -------
    chosen : int
    ranks : list of float
        Mean rank of each row, 1 is best; nan for rows that were not eligible.
    """
    below = [bool(row["below_null"]) for row in rows]
    clear = [under and not row["tied"] for under, row in zip(below, rows, strict=True)]
    everyone = [True] * len(rows)
    eligible = next(each for each in (clear, below, everyone) if any(each))
    candidates = [row for row, fit in zip(rows, eligible, strict=True) if fit]
    ranks = np.mean(
        [
            average_ranks(
                np.array([-row[name] if more else row[name] for row in candidates], dtype=float)
            )
            for name, more in CRITERIA
        ],
        axis=0,
    )
    best = int(candidates[int(np.argmin(np.round(ranks, PRODUCT_DECIMALS)))]["n_classes"])
    given = iter(ranks)
    return best, [float(next(given)) if fit else float("nan") for fit in eligible]


def tabulate(
    Z: Floats,
    D: Floats,
    numbers: Sequence[int],
    null: tuple[Sequence[Floats], Sequence[Floats]],
    stability: Mapping[int, Mapping[str, float]],
    chance: float,
    minimum_size: int,
) -> list[dict[str, Any]]:
    """
    Put every index of every cut side by side.

    Parameters
    ----------
    Z : (N - 1, 4) array of float
    D : (N, N) array of float
    numbers : sequence of int
        Ascending, consecutive.
    null : (sequence of Z, sequence of D)
        Trees and distances without structure, for the gap.
    stability : dict of int to dict
        For each number: `minimum_jaccard`, `mean_jaccard`, `pac`, `pac_ratio`, `bootstrap_rand`
        and more.
    chance : float
        Mean distance of all pairs; nan if there is none.
    minimum_size : int
        Terms; smaller groups are counted in `small_groups`.

    Returns
    -------
    list of dict
        One row per number.
    """
    following = [*numbers, numbers[-1] + 1] if numbers[-1] < len(D) else list(numbers)
    observed = np.array([log_within(D, cut(Z, k)) for k in following])
    trees, distances = null
    labels = cuts(np.array([tree[:, :2] for tree in trees], dtype=int), following)
    of_null = np.array(
        [
            [log_within(apart, labels[k][one]) for k in following]
            for one, apart in enumerate(distances)
        ]
    )
    with np.errstate(invalid="ignore"):
        gap, error = gap_statistics(observed, of_null)
        criterion = np.nan_to_num(np.append(gap[:-1] - gap[1:] + error[1:], 0.0))
    criterion = np.round(criterion[: len(numbers)], PRODUCT_DECIMALS)
    asked_by_gap = gap_number(numbers, criterion)
    mojena, _ = mojena_scores(Z[:, 2], numbers)
    lines = null_heights(trees, numbers)
    return [
        {
            **describe_cut(Z, D, k, chance, lines[k], minimum_size),
            "gap": float(gap[place]),
            "gap_error": float(error[place]),
            "gap_criterion": float(criterion[place]),
            "gap_distance": abs(k - asked_by_gap),
            "mojena": float(mojena[place]),
            **stability[k],
        }
        for place, k in enumerate(numbers)
    ]


def describe_cut(
    Z: Floats, D: Floats, k: int, chance: float, line: float, minimum_size: int
) -> dict[str, Any]:
    """Return what one cut looks like on the tree and in the distances, as a row of the table."""
    labels = cut(Z, k)
    low, high = height_limits(Z[:, 2], k)
    return {
        "n_classes": k,
        "height_low": low,
        "height_high": high,
        "null_height": line,
        "below_null": round(low, HEIGHT_DECIMALS) < round(line, HEIGHT_DECIMALS),
        "below_chance": bool(np.isnan(chance) or low < chance),
        "tied": bool(np.isclose(low, high, rtol=0, atol=10.0**-HEIGHT_DECIMALS)),
        "height_gap": round(high - low, PRODUCT_DECIMALS),
        "silhouette": round(float(silhouettes(D, labels).mean()), PRODUCT_DECIMALS),
        "small_groups": int((np.bincount(labels) < minimum_size).sum()),
    }
