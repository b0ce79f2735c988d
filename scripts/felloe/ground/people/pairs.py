"""What people disagree about: every pair of terms, together or apart, person by person."""

from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np

from felloe.ground.arrays import Array, Floats
from felloe.ground.people.sorts import UNPLACED
from felloe.ground.rounding import PRODUCT_DECIMALS
from felloe.ground.squares import upper


class SomePairs(Protocol):
    """Pairs of terms of some people, written out (`PairVectors`) or counted (`CountedPairs`)."""

    @property
    def n_terms(self) -> int:
        """The number of terms."""

    @property
    def n_pairs(self) -> int:
        """The number of pairs of terms."""

    @property
    def n_people(self) -> int:
        """The number of people."""

    @property
    def prior(self) -> float | None:
        """Of partial sorts; see `counts.drawn_to_mean`."""

    @property
    def complete(self) -> bool:
        """Whether everybody placed every term."""

    def counted(self, chosen: Array) -> tuple[Floats, Floats]:
        """Count who of those chosen put each pair together, and who placed both."""

    def between(self) -> tuple[Floats, Floats, Floats]:
        """Count what every two people have in common."""

    def centred_products(self) -> tuple[Floats, Floats]:
        """Return products of people over pairs, each less the person's mean; and pairs shared."""


@dataclass(frozen=True)
class PairVectors:
    """
    The sorts of some people as one row of pairs of terms each.

    Attributes
    ----------
    together, placed : (n_people, n_pairs) array of float
        Ones where the person put both terms in one pile, and where the person placed both;
        zeros elsewhere. Pairs are the upper triangle of terms by terms, row by row.
    n_terms : int
    prior : float, optional
        Of partial sorts; see `counts.drawn_to_mean`.
    """

    together: Floats
    placed: Floats
    n_terms: int
    prior: float | None = None

    @cached_property
    def complete(self) -> bool:
        """Whether everybody placed every term."""
        return bool(self.placed.all())

    @property
    def n_people(self) -> int:
        """The number of people."""
        return len(self.together)

    @property
    def n_pairs(self) -> int:
        """The number of pairs of terms."""
        return int(self.together.shape[1])

    def of(self, people: Array) -> "PairVectors":
        """Return the rows of some people: indices or a mask."""
        return PairVectors(self.together[people], self.placed[people], self.n_terms, self.prior)

    def release(self) -> None:
        """Let go of nothing: the tables are all there is."""

    def counted(self, chosen: Array) -> tuple[Floats, Floats]:
        """
        Count who of those chosen put each pair together, and who placed both.

        Parameters
        ----------
        chosen : (n_choices, n_people) array of bool

        Returns
        -------
        together, both : (n_choices, n_pairs) array of float
        """
        chosen = np.asarray(chosen, dtype=float)
        together = chosen @ self.together  # sums of zeros and ones are exact
        if self.complete:
            return together, np.repeat(chosen.sum(axis=1), self.n_pairs).reshape(together.shape)
        return together, chosen @ self.placed

    def between(self) -> tuple[Floats, Floats, Floats]:
        """
        Count what every two people have in common.

        Returns
        -------
        shared, alone, joint : (n_people, n_people) array of float
            Pairs of terms that both placed; that the person of the row put together and the one
            of the column placed; that both put together. Sums of zeros and ones are exact.
        """
        shared = self.placed @ self.placed.T
        return shared, self.together @ self.placed.T, self.together @ self.together.T

    def centred_products(self) -> tuple[Floats, Floats]:
        """
        Multiply people's pairs, each less the person's mean, and sum over pairs that both placed.

        Returns
        -------
        products, shared : (n_people, n_people) array of float
            The sums, and how many pairs they are over.
        """
        placed = np.maximum(self.placed.sum(axis=1, keepdims=True), 1.0)
        means = self.together.sum(axis=1, keepdims=True) / placed
        centred = (self.together - means) * self.placed
        return centred @ centred.T, self.placed @ self.placed.T


def pair_vectors(piles: Array, prior: float | None = None) -> PairVectors:
    """
    Write every sort as zeros and ones over the pairs of terms.

    Parameters
    ----------
    piles : (n_people, n_terms) array of int
        Pile numbers, meaningful within a row only; `UNPLACED` where a term was not placed.
    prior : float, optional
        Of partial sorts; see `counts.drawn_to_mean`.

    Returns
    -------
    PairVectors
    """
    piles = np.asarray(piles)
    first, second = upper(piles.shape[1])
    placed = (piles[:, first] != UNPLACED) & (piles[:, second] != UNPLACED)
    together = (piles[:, first] == piles[:, second]) & placed
    return PairVectors(together.astype(float), placed.astype(float), piles.shape[1], prior)


def pair_shares(vectors: PairVectors) -> Floats:
    """
    Return the share of pairs that each person put together, among the pairs they placed.

    Parameters
    ----------
    vectors : PairVectors

    Returns
    -------
    (n_people,) array of float
        0 (all apart) to 1 (one pile): how coarsely the person sorts.

    Raises
    ------
    ValueError
        If somebody placed fewer than two terms.
    """
    placed = vectors.placed.sum(axis=1)
    if (placed == 0).any():
        raise ValueError(f"person {int(np.argmin(placed))} placed fewer than two terms")
    return np.asarray(vectors.together.sum(axis=1) / placed)


def mirkin_distances(vectors: SomePairs) -> Floats:
    """
    Count the pairs of terms on which every two people disagree.

    Two people are compared on the pairs that both placed; where these are not all, the count
    is scaled up to all pairs, so that leaving a term out brings nobody nearer to anybody. Of
    partial sorts, two people who placed no pair in common are as far apart as others in the mean.

    Parameters
    ----------
    vectors : PairVectors

    Returns
    -------
    (n_people, n_people) array of float
        Symmetric, zero diagonal, 0 to the number of pairs; whole numbers for complete sorts.
        It is a squared Euclidean distance for complete sorts.

    Raises
    ------
    ValueError
        If two people have no pair of terms that both placed; never of partial sorts.

    References
    ----------
    Mirkin (1996), Mathematical Classification and Clustering (from memory).
    """
    shared, alone, joint = vectors.between()
    if vectors.prior is None and (shared == 0).any():
        g, h = np.argwhere(shared == 0)[0]
        raise ValueError(f"people {g} and {h} placed no pair of terms in common")
    disagree = alone + alone.T - 2.0 * joint
    if vectors.prior is None:
        return np.asarray(disagree / shared * vectors.n_pairs)
    apart = filled(np.divide(disagree, shared, out=np.full_like(shared, np.nan), where=shared > 0))
    np.fill_diagonal(apart, 0.0)
    return np.asarray(apart * vectors.n_pairs)


def filled(between: Floats) -> Floats:
    """
    Return what is told of every two people, its mean where nothing is known of two of them.

    Parameters
    ----------
    between : (n_people, n_people) array of float
        Symmetric; nan where two people have nothing in common.
    """
    known = np.isfinite(between)
    apart = known & ~np.eye(len(between), dtype=bool)
    mean = np.round(between[apart].mean(), PRODUCT_DECIMALS) if apart.any() else 0.0
    return np.where(known, between, mean)


def person_covariances(vectors: SomePairs) -> Floats:
    """
    Return the covariance between every two people over the pairs of terms that both placed.

    Of partial sorts, each person's share of pairs together is that over all pairs they placed, so
    that few pairs in common do not hide agreement; of two people without any nothing is known.

    Parameters
    ----------
    vectors : PairVectors

    Returns
    -------
    (n_people, n_people) array of float
        Symmetric; the diagonal holds the variances; nan where nothing is known.
    """
    if vectors.prior is not None:
        return partial_covariances(vectors)
    shared, alone, joint = vectors.between()
    shared = np.maximum(shared, 1.0)
    alone = alone / shared
    return np.asarray(joint / shared - alone * alone.T)


def partial_covariances(vectors: SomePairs) -> Floats:
    """Return the covariances of people who were not shown the same terms."""
    products, shared = vectors.centred_products()
    # who placed no pair varies in nothing
    unknown = np.where(np.eye(len(shared), dtype=bool), 0.0, np.nan)
    return np.asarray(np.divide(products, shared, out=unknown, where=shared > 0))


@dataclass(frozen=True)
class OneCulture:
    """
    Whether one way of sorting lies behind the people.

    Attributes
    ----------
    ratio : float
        First over second eigenvalue of the matrix of correlations between people.
    first_loadings, second_loadings : (n_people,) array of float
        The first signed so that its sum is positive, the second so that its first entry of
        notable size is.
    """

    ratio: float
    first_loadings: Floats
    second_loadings: Floats


def one_culture(covariances: Floats) -> OneCulture:
    """
    Compare the first two eigenvalues of the agreement between people.

    Agreement is the correlation of two people over pairs of terms, with a unit diagonal,
    which makes the ratio somewhat smaller than with estimated communalities.

    Parameters
    ----------
    covariances : (n_people, n_people) array of float
        As returned by `person_covariances`; at least two people.

    Returns
    -------
    OneCulture

    References
    ----------
    Romney, Weller & Batchelder (1986), American Anthropologist 88:313-338 (from memory).
    """
    covariances = filled(covariances)
    deviations = np.sqrt(np.maximum(np.diagonal(covariances), 0.0))
    scale = np.outer(deviations, deviations)
    correlations = np.divide(covariances, scale, out=np.zeros_like(scale), where=scale > 0)
    np.fill_diagonal(correlations, 1.0)
    values, axes = np.linalg.eigh(np.round(correlations, PRODUCT_DECIMALS))
    values, axes = (
        np.round(values[::-1], PRODUCT_DECIMALS),
        np.round(axes[:, ::-1], PRODUCT_DECIMALS),
    )
    first = axes[:, 0] * (-1.0 if axes[:, 0].sum() < 0 else 1.0)
    notable = axes[np.argmax(np.abs(axes[:, 1]) > 1e-6), 1]
    second = axes[:, 1] * (-1.0 if notable < 0 else 1.0)
    ratio = round(values[0] / values[1], PRODUCT_DECIMALS) if values[1] > 0 else float("inf")
    return OneCulture(float(ratio), first + 0.0, second + 0.0)
