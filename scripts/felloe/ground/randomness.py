"""Every random draw is keyed by seed, study, purpose and replicate, whoever makes it and when."""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from felloe.ground.arrays import Array, Ints


@dataclass(frozen=True)
class Streams:
    """
    The random numbers of one study.

    Attributes
    ----------
    seed : int
        Not negative.
    study : str
    """

    seed: int
    study: str

    def generator(self, purpose: str, replicate: int = 0) -> np.random.Generator:
        """
        Return the generator of one replicate of one purpose.

        Parameters
        ----------
        purpose : str
        replicate : int
            From 0.

        Returns
        -------
        numpy.random.Generator
            The same for the same key, whatever else was drawn before.
        """
        key = key_words(self.seed, self.study, purpose).copy()
        key[-1] = replicate
        return np.random.Generator(np.random.PCG64(np.random.SeedSequence(key)))


@cache
def key_words(seed: int, study: str, purpose: str) -> Array:
    """Return the 32-bit words of a key, the last one free for the replicate; kept for the next."""
    digest = hashlib.sha256(f"{study}\n{purpose}".encode()).digest()
    words = [seed & 0xFFFFFFFF]
    while seed := seed >> 32:
        words.append(seed & 0xFFFFFFFF)
    words += np.frombuffer(digest[:16], dtype="<u4").tolist()
    return np.array([*words, 0], dtype=np.uint32)


def stratified_draw(rng: np.random.Generator, populations: Sequence[str] | Array) -> Ints:
    """
    Draw participants with replacement within their populations.

    Parameters
    ----------
    rng : numpy.random.Generator
    populations : sequence of str
        The population of each participant.

    Returns
    -------
    (n_participants,) array of int
        Indices of the drawn participants, population by population in sorted order.
    """
    of_people = np.asarray(populations)
    drawn = []
    for name in np.unique(of_people):
        members = np.flatnonzero(of_people == name)
        drawn.append(members[rng.integers(len(members), size=len(members))])
    return np.concatenate(drawn)
