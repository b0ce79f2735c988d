"""Trees of terms: building, cutting and measuring them."""

import numpy as np

from felloe.ground.arrays import Array, Bools, Floats, Ints
from felloe.ground.correlation import correlation
from felloe.ground.groups.partition import number_by_appearance
from felloe.ground.rounding import DISTANCE_DECIMALS
from felloe.ground.squares import condensed, squared

METHODS = ("average", "complete", "single", "weighted", "ward")
REFUSED = ("centroid", "median")


def check_method(method: str) -> None:
    """
    Refuse a linkage that is unknown or that can give a tree with inversions.

    Parameters
    ----------
    method : str

    Raises
    ------
    ValueError
        For `centroid` and `median`: the centre of two merged groups can lie closer to a
        third group than the two lay to each other, so heights can fall (the corners of an
        equilateral triangle merge at 1 and then at 0.866) and no nested cut exists.
        For any other name outside `METHODS`.
    """
    if method in REFUSED:
        raise ValueError(
            f"linkage '{method}' is refused: its merge heights can fall from one merge to the "
            "next, so that a cut at a height does not give nested groups; use one of "
            + ", ".join(METHODS)
        )
    if method not in METHODS:
        raise ValueError(f"linkage '{method}' is unknown; use one of " + ", ".join(METHODS))


def build_tree(D: Array, method: str) -> Floats:
    """
    Build the tree of terms.

    Terms keep the order of the rows of `D` (sorted term ids), and distances are rounded to
    `DISTANCE_DECIMALS` before the first comparison: this is the canonical rule for ties.

    Parameters
    ----------
    D : (N, N) array of float
        Symmetric dissimilarities, zero diagonal, N >= 2.
    method : {'average', 'complete', 'single', 'weighted', 'ward'}
        `ward` works on the square root of `D`: `D` is a squared Euclidean distance when
        every participant placed every term, and Ward's method expects the distance.

    Returns
    -------
    (N - 1, 4) array of float
        SciPy's convention: the two nodes merged (terms 0 to N - 1, merge `t` makes node
        N + t), height, number of terms. Heights never fall.

    Raises
    ------
    ValueError
        If the linkage is refused (see `check_method`) or `D` is not a dissimilarity matrix.

    References
    ----------
    Muellner (2011), Modern hierarchical, agglomerative clustering algorithms, arXiv 1109.2378.
    """
    check_method(method)
    D = np.asarray(D, dtype=float)
    if D.ndim != 2 or D.shape[0] != D.shape[1] or len(D) < 2:
        raise ValueError(f"expected a square matrix of at least two terms, got shape {D.shape}")
    return tree_of_pairs(condensed(D), method)


def tree_of_pairs(apart: Array, method: str) -> Floats:
    """
    Build the tree of terms from their dissimilarities pair by pair; see `build_tree`.

    Parameters
    ----------
    apart : (N * (N - 1) / 2,) array of float
        The upper triangle, row by row.
    method : str
    """
    from scipy.cluster.hierarchy import linkage

    check_method(method)
    distances: Floats = np.asarray(apart, dtype=float).round(DISTANCE_DECIMALS)
    if not np.isfinite(distances).all() or (distances < 0).any():
        raise ValueError("dissimilarities must be finite and not negative")
    merges: Floats = linkage(merge_scale(distances, method), method)
    return merges


def merge_scale(distances: Floats, method: str) -> Floats:
    """
    Return distances on the scale of a linkage's heights.

    Parameters
    ----------
    distances : array of float
        Shares of participants who keep two terms apart.
    method : str

    Returns
    -------
    array of float
        For `ward` their square roots (see `build_tree`); for all others the same.
    """
    return np.sqrt(distances) if method == "ward" else distances


def cut(Z: Floats, k: int) -> Ints:
    """
    Cut a tree into exactly `k` groups: the state after its first N - k merges.

    Counting merges instead of comparing heights gives the number asked for even where
    heights tie.

    Parameters
    ----------
    Z : (N - 1, 4) array of float
        As returned by `build_tree`.
    k : int
        Number of groups, 1 to N.

    Returns
    -------
    (N,) array of int
        Labels 0 to k - 1, numbered by first appearance in term order.

    Raises
    ------
    ValueError
        If `k` is outside 1 to N, or if the groups found are not `k`.
    """
    n_terms = len(Z) + 1
    if not 1 <= k <= n_terms:
        raise ValueError(f"a tree of {n_terms} terms cannot be cut into {k} groups")
    owner = list(range(2 * n_terms - 1))
    merged = Z[: n_terms - k, :2].astype(int).tolist()
    for merge, (one, other) in reversed(list(enumerate(merged, n_terms))):
        owner[one] = owner[other] = owner[merge]
    labels = number_by_appearance(np.array(owner[:n_terms]))
    if labels.max() + 1 != k:
        raise ValueError(f"asked for {k} groups, the tree gave {labels.max() + 1}")
    return labels


def members(Z: Floats) -> Bools:
    """
    Terms below every merge.

    Parameters
    ----------
    Z : (N - 1, 4) array of float

    Returns
    -------
    (N - 1, N) array of bool
        Row `t` marks the terms of node N + t.
    """
    n_terms = len(Z) + 1
    below = np.zeros((2 * n_terms - 1, n_terms), dtype=bool)
    below[np.arange(n_terms), np.arange(n_terms)] = True
    for merge, (left, right) in enumerate(Z[:, :2].astype(int)):
        below[n_terms + merge] = below[left] | below[right]
    return np.asarray(below[n_terms:])


def cophenetic(Z: Floats) -> Floats:
    """
    Heights at which terms join.

    Parameters
    ----------
    Z : (N - 1, 4) array of float

    Returns
    -------
    (N, N) array of float
        Symmetric, zero diagonal.

    References
    ----------
    Sokal & Rohlf (1962), The comparison of dendrograms by objective methods, Taxon 11:33-40.
    """
    from scipy.cluster.hierarchy import cophenet

    return squared(cophenet(Z), len(Z) + 1)


def cophenetic_correlation(Z: Floats, D: Floats) -> float:
    """
    Pearson correlation between dissimilarities and the heights at which terms join.

    Parameters
    ----------
    Z : (N - 1, 4) array of float
    D : (N, N) array of float
        The distances that the tree was built from, on its scale (see `merge_scale`).

    Returns
    -------
    float
        -1 to 1, rounded to `DISTANCE_DECIMALS`; nan where either side is constant.

    References
    ----------
    Sokal & Rohlf (1962), Taxon 11:33-40.
    """
    from scipy.cluster.hierarchy import cophenet

    return round(correlation(cophenet(Z), condensed(D)), DISTANCE_DECIMALS)


def agglomerative_coefficient(Z: Floats) -> float:
    """
    Mean over terms of one minus the height of the term's first merge over the last height.

    Parameters
    ----------
    Z : (N - 1, 4) array of float

    Returns
    -------
    float
        0 to 1; nan for a tree of height zero. It grows with the number of terms, so values
        are compared between linkages of one study only.

    References
    ----------
    Kaufman & Rousseeuw (1990), Finding Groups in Data, section 5.1 (there `AC`).
    """
    n_terms = len(Z) + 1
    first = np.empty(n_terms)
    for left, right, height in Z[::-1, :3]:
        for node in (int(left), int(right)):
            if node < n_terms:
                first[node] = height
    return float(np.mean(1.0 - first / Z[-1, 2])) if Z[-1, 2] > 0 else float("nan")
