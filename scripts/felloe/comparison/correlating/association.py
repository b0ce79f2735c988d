"""Are two matrices related at all? None of these says that they are alike."""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import permutations as every_order
from typing import Any, Literal

import numpy as np

from felloe.ground.arrays import Array, Floats
from felloe.ground.distances import Distances
from felloe.ground.permutation import permutation_p, permutations_at
from felloe.ground.rounding import PRODUCT_DECIMALS
from felloe.ground.squares import condensed, doubly_centred, upper
from felloe.ground.terms import check_same

Method = Literal["pearson", "spearman"]
MANTEL_DECIMALS = 12  # a correlation of rounded distances, made by one routine
FEW_TERMS = 8  # up to here every order of the terms can be tried: 40,320


@dataclass(frozen=True)
class MantelResult:
    """
    Attributes
    ----------
    correlation : float
        nan where one of the matrices is constant.
    p_value : float
        One-sided (greater), (b + 1) / (m + 1).
    permutations, n_terms : int
    """

    correlation: float
    p_value: float
    permutations: int
    n_terms: int

    def told(self) -> dict[str, Any]:
        """Return the test as records tell it."""
        return {
            "r": self.correlation,
            "p": self.p_value,
            "permutations": self.permutations,
            "n_terms": self.n_terms,
            "alternative": "greater",
        }


@dataclass(frozen=True)
class ConfigurationMatch:
    """
    How alike two planar maps of the same terms are.

    Attributes
    ----------
    rv : float
        RV coefficient, 0 to 1.
    m_squared : float
        Sum of squares left after the best turn, shift and stretch; 0 to 1.
    correlation : float
        Square root of what is not left.
    p_value : float
        Permuting terms, (b + 1) / (m + 1).
    permutations : int
    """

    rv: float
    m_squared: float
    correlation: float
    p_value: float
    permutations: int


@dataclass(frozen=True)
class Exact:
    """
    Where the observed correlation stands among those of every order of the terms.

    Attributes
    ----------
    greater, two_sided : int
        Orders whose correlation, or its size, is at least the observed one, that one included.
    orders : int
    """

    greater: int
    two_sided: int
    orders: int


@dataclass(frozen=True)
class Association:
    """Mantel tests and the match of planar maps; `exact` is None for more than a few terms."""

    pearson: MantelResult
    spearman: MantelResult
    configurations: ConfigurationMatch
    exact: Exact | None


def associate(
    one: Distances,
    other: Distances,
    permutations: int,
    draw: Callable[[str], np.random.Generator],
) -> Association:
    """
    Ask of two matrices of distances whether they are related, in every way there is here.

    Parameters
    ----------
    one, other : Distances
        Of the same terms.
    permutations : int
        Fewer where pairs of terms are very many (`permutations_at`).
    draw : callable
        Gives the random numbers of a purpose.

    Raises
    ------
    felloe.ground.terms.DifferentTerms
        If they are not about the same terms in the same order.
    """
    check_same(one.terms, other.terms, "one population's distances", "the other's")
    permutations = permutations_at(len(one.terms) * (len(one.terms) - 1) // 2, permutations)

    def related(method: Method) -> MantelResult:
        return mantel(one.D, other.D, method, permutations, draw(f"mantel {method}"))

    pearson = related("pearson")
    few = 3 <= len(one.terms) <= FEW_TERMS and np.isfinite(pearson.correlation)
    return Association(
        pearson,
        related("spearman"),
        match_configurations(one.D, other.D, permutations, draw("maps")),
        exact_mantel(one.D, other.D) if few else None,
    )


def mantel(
    apart_a: Floats,
    apart_b: Floats,
    method: Method,
    permutations: int,
    rng: np.random.Generator,
) -> MantelResult:
    """
    Correlate two matrices and compare with shuffled terms (scikit-bio's test).

    For 100 terms and 9,999 permutations it takes about a tenth of a second, so its own p is used.

    Parameters
    ----------
    apart_a, apart_b : (n_terms, n_terms) array of float
        Dissimilarities over the same terms in the same order, at least three.
    method : {"pearson", "spearman"}
    permutations : int
    rng : numpy.random.Generator

    Returns
    -------
    MantelResult

    References
    ----------
    Mantel (1967), Cancer Research 27:209-220 (from memory); scikit-bio `mantel` with
    `alternative="greater"` (its default is two-sided).
    """
    from skbio.stats.distance import DistanceMatrix
    from skbio.stats.distance import mantel as skbio_mantel

    if len(apart_a) < 3 or min(np.ptp(condensed(apart_a)), np.ptp(condensed(apart_b))) == 0.0:
        return MantelResult(float("nan"), 1.0, permutations, len(apart_a))
    matrices = [DistanceMatrix(np.ascontiguousarray(apart, float)) for apart in (apart_a, apart_b)]
    correlation, p_value, n_terms = skbio_mantel(
        *matrices, method=method, permutations=permutations, alternative="greater", seed=rng
    )
    return MantelResult(
        round(float(correlation), MANTEL_DECIMALS), float(p_value), permutations, int(n_terms)
    )


def exact_mantel(apart_a: Floats, apart_b: Floats) -> Exact:
    """
    Compare the Pearson correlation of two small matrices with that of every order of the terms.

    Parameters
    ----------
    apart_a, apart_b : (n_terms, n_terms) array of float
        At most `FEW_TERMS` terms.

    Returns
    -------
    Exact

    Raises
    ------
    ValueError
        For more than `FEW_TERMS` terms.
    """
    n_terms = len(apart_a)
    if n_terms > FEW_TERMS:
        raise ValueError(f"{n_terms} terms have too many orders; at most {FEW_TERMS} are tried")
    first, second = upper(n_terms)
    orders = np.array(list(every_order(range(n_terms))))
    x = apart_a[orders[:, first], orders[:, second]]
    y = apart_b[first, second] - apart_b[first, second].mean()
    spread = np.sqrt(((x[0] - x[0].mean()) ** 2).sum() * (y**2).sum())
    correlations = np.round((x * y).sum(axis=1) / spread, PRODUCT_DECIMALS)
    # order 0 is the observed one
    greater = int((correlations >= correlations[0]).sum())
    two_sided = int((np.abs(correlations) >= abs(correlations[0])).sum())
    return Exact(greater, two_sided, len(orders))


def planar_map(apart: Floats) -> Floats:
    """
    Return the first two principal coordinates of a matrix of dissimilarities.

    Parameters
    ----------
    apart : (n_terms, n_terms) array of float

    Returns
    -------
    (n_terms, 2) array of float
        Centred; a coordinate whose eigenvalue is not positive is zero.
    """
    values, axes = np.linalg.eigh(doubly_centred(np.asarray(apart) ** 2))
    places: Floats = axes[:, :-3:-1] * np.sqrt(np.maximum(values[:-3:-1], 0.0))
    return np.round(places, PRODUCT_DECIMALS)


def nuclear_norms(products: Array) -> Floats:
    """Return the sum of the singular values of every 2 x 2 matrix of a stack."""
    squares = (products**2).sum(axis=(-2, -1))
    determinants = (
        products[..., 0, 0] * products[..., 1, 1] - products[..., 0, 1] * products[..., 1, 0]
    )
    norms: Floats = np.sqrt(squares + 2.0 * np.abs(determinants))
    return norms


def match_configurations(
    apart_a: Floats, apart_b: Floats, permutations: int, rng: np.random.Generator
) -> ConfigurationMatch:
    """
    Compare the planar maps of two matrices: RV coefficient and symmetric Procrustes fit.

    Parameters
    ----------
    apart_a, apart_b : (n_terms, n_terms) array of float
    permutations : int
    rng : numpy.random.Generator

    Returns
    -------
    ConfigurationMatch

    References
    ----------
    Escoufier (1973), Biometrics 29:751-760; Peres-Neto & Jackson (2001), Oecologia
    129:169-178 (both from memory).
    """
    x, y = planar_map(apart_a), planar_map(apart_b)
    sizes = np.sqrt((x**2).sum() * (y**2).sum())
    if sizes == 0.0:
        return ConfigurationMatch(float("nan"), float("nan"), float("nan"), 1.0, permutations)
    rv = ((x.T @ y) ** 2).sum() / np.sqrt(((x.T @ x) ** 2).sum() * ((y.T @ y) ** 2).sum())
    orders = rng.permuted(np.tile(np.arange(len(x)), (permutations, 1)), axis=1)
    permuted = np.round(nuclear_norms(np.swapaxes(x[orders], 1, 2) @ y) / sizes, PRODUCT_DECIMALS)
    correlation = round(float(nuclear_norms(x.T @ y) / sizes), PRODUCT_DECIMALS)
    return ConfigurationMatch(
        round(float(rv), PRODUCT_DECIMALS),
        round(1.0 - correlation**2, PRODUCT_DECIMALS),
        correlation,
        permutation_p(correlation, permuted),
        permutations,
    )
