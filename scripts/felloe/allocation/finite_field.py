"""Finite fields: adding and multiplying a prime power of elements."""

from dataclasses import dataclass
from itertools import product

import numpy as np

from felloe.ground.arrays import Array, Ints

LARGEST = 64  # elements; planes over more have thousands of points


@dataclass(frozen=True)
class Field:
    """
    A field of `q` elements, numbered from 0 (zero) and 1 (one).

    Attributes
    ----------
    plus, times : (q, q) array of int
        Sum and product of two elements.
    """

    plus: Ints
    times: Ints

    @property
    def size(self) -> int:
        """Number of elements."""
        return len(self.plus)


def prime_power(q: int) -> tuple[int, int] | None:
    """Return the prime and the exponent of a prime power, None for another number."""
    for prime in range(2, q + 1):
        if q % prime == 0:  # the least divisor is a prime
            exponent, rest = 0, q
            while rest % prime == 0:
                exponent, rest = exponent + 1, rest // prime
            return (prime, exponent) if rest == 1 else None
    return None


def field(q: int) -> Field:
    """
    Return the field of `q` elements.

    An element is a polynomial over the integers modulo a prime, its coefficients the digits of the
    element's number. Products are taken modulo the first polynomial that leaves no two elements,
    neither of them zero, with the product zero: a finite ring without such is a field.

    Raises
    ------
    ValueError
        If `q` is no prime power from 2 to `LARGEST`.
    """
    power = prime_power(q) if 2 <= q <= LARGEST else None
    if power is None:
        raise ValueError(f"there is no field of {q} elements here")
    prime, degree = power
    weights = prime ** np.arange(degree)
    digits = np.arange(q)[:, None] // weights % prime
    plus = ((digits[:, None, :] + digits[None, :, :]) % prime) @ weights
    for lower in product(range(prime), repeat=degree):
        times = multiplied(digits, np.array(lower), prime) @ weights
        if times[1:, 1:].all():
            return Field(plus, times)
    raise AssertionError("there is an irreducible polynomial of every degree")


def multiplied(digits: Ints, lower: Array, prime: int) -> Ints:
    """
    Return the products of polynomials modulo x^n + `lower`.

    Parameters
    ----------
    digits : (q, n) array of int
        Coefficients, that of 1 first.
    lower : (n,) array of int
    prime : int

    Returns
    -------
    (q, q, n) array of int
    """
    q, degree = digits.shape
    whole = np.zeros((q, q, 2 * degree - 1), dtype=np.int64)
    for i in range(degree):
        for j in range(degree):
            whole[:, :, i + j] += digits[:, None, i] * digits[None, :, j]
    whole %= prime
    for top in range(2 * degree - 2, degree - 1, -1):
        lead = whole[:, :, top, None]
        place = slice(top - degree, top)
        whole[:, :, place] = (whole[:, :, place] - lead * lower) % prime
    return whole[:, :, :degree]
