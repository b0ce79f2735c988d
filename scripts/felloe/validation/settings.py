"""The settings of this stage, block by block; config/config.yaml gives the reason of each."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Self


@dataclass(frozen=True)
class Limits:
    """
    What a study must have at least, and what fits into its cells.

    Attributes
    ----------
    minimum_terms, maximum_terms : int
    minimum_participants : int
        Of each population, received and after screening.
    longest_label, longest_text : int
        Characters.
    """

    minimum_terms: int
    maximum_terms: int
    minimum_participants: int
    longest_label: int
    longest_text: int


@dataclass(frozen=True)
class IdenticalSubmissions:
    """Who sent the piles of somebody else, if the lexicon has so many terms."""

    use: bool
    minimum_terms: int


@dataclass(frozen=True)
class TooFast:
    """Who took less than so many seconds a term."""

    use: bool
    seconds_per_term: float


@dataclass(frozen=True)
class TooManyUnplaced:
    """Who left more than this share of the terms unplaced."""

    use: bool
    share: float


@dataclass(frozen=True)
class OrderFollowing:
    """Whose piles follow the order: permutation `p` at most, share of neighbours at least."""

    use: bool
    alphabet: bool
    p: float
    index: float


@dataclass(frozen=True)
class ScreeningRules:
    """Which submissions say nothing about the terms; disagreeing with the others is none."""

    all_in_one: bool
    all_apart: bool
    identical_submissions: IdenticalSubmissions
    too_fast: TooFast
    too_many_unplaced: TooManyUnplaced
    order_following: OrderFollowing

    @classmethod
    def of(cls, section: Mapping[str, Any]) -> Self:
        """Take the section `screening` of the settings."""
        return cls(
            all_in_one=section["all_in_one"],
            all_apart=section["all_apart"],
            identical_submissions=IdenticalSubmissions(**section["identical_submissions"]),
            too_fast=TooFast(**section["too_fast"]),
            too_many_unplaced=TooManyUnplaced(**section["too_many_unplaced"]),
            order_following=OrderFollowing(**section["order_following"]),
        )


@dataclass(frozen=True)
class StabilitySettings:
    """
    How the study is repeated on parts of its participants.

    Attributes
    ----------
    halves : int
        Random halves for split-half reliability.
    curve_repeats, curve_steps : int
        Random pairs of samples of each size, and sizes of the learning curve.
    target : float
        Reliability to plan for, 0 to 1.
    """

    halves: int
    curve_repeats: int
    curve_steps: int
    target: float
