"""Choosing the numbers of classes and subclasses from the tree and its replicates."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from felloe.clustering.class_counts import choose, mojena_scores, tabulate
from felloe.clustering.replicates.bootstrap import Bootstrap
from felloe.clustering.replicates.consensus import ambiguous_share, coclassifications
from felloe.clustering.replicates.replicate_trees import cuts
from felloe.clustering.replicates.support import NullCut, cut_support, null_cuts
from felloe.ground.arrays import Array, Floats
from felloe.ground.groups.linkage import cut
from felloe.ground.groups.ranges import FEWEST_CLASSES, Asked, GroupNumbers, clipped, most_groups
from felloe.ground.rounding import DISTANCE_DECIMALS, PRODUCT_DECIMALS

# Replicates behind the indices of every cut considered. The index of one cut has a standard
# error below 0.016 then, and the cuts of a range are compared on the same replicates.
REPLICATES = 1000

Failure = Literal["", "few_terms", "low_support", "chance_support"]


@dataclass(frozen=True)
class Range:
    """
    Numbers of groups that are considered.

    Attributes
    ----------
    asked : tuple of int
        Least and largest number in the settings.
    possible : tuple of int
        What the terms can carry of it.
    numbers : tuple of int
        Ascending and consecutive: the possible ones, and up to a number fixed in the settings.
    """

    asked: tuple[int, int]
    possible: tuple[int, int]
    numbers: tuple[int, ...]


def considered(asked: Asked, span: Sequence[int], least: int, most: int) -> Range:
    """
    Return the numbers to look at: what the terms carry of a range, and a fixed number.

    Parameters
    ----------
    asked : int or 'auto'
    span : (int, int)
    least, most : int
        Smallest and largest number that make sense.

    Returns
    -------
    Range
    """
    low, high = clipped(span, least, most)
    fixed = low if asked == "auto" else asked
    numbers = range(min(low, fixed), max(high, fixed) + 1)
    return Range((span[0], span[1]), (low, high), tuple(numbers))


@dataclass(frozen=True)
class Choice:
    """
    A number of groups and the table that it was chosen from.

    Attributes
    ----------
    number : int
    fixed : bool
        Given in the settings instead of chosen.
    rows : list of dict
        As `tabulate`, with `supported`, `mean_rank`, `recommended` and `chosen`.
    span : Range
    """

    number: int
    fixed: bool
    rows: list[dict[str, Any]]
    span: Range

    @property
    def row(self) -> dict[str, Any]:
        """The row of the number chosen."""
        return next(row for row in self.rows if row["chosen"])


def stability_of_cuts(bootstrap: Bootstrap, numbers: Sequence[int]) -> dict[int, dict[str, float]]:
    """
    Measure how stable each cut is over the first `REPLICATES`, by number of groups.

    Parameters
    ----------
    bootstrap : Bootstrap
    numbers : sequence of int

    Returns
    -------
    dict of int to dict
    """
    merges = bootstrap.redrawn.merges[:REPLICATES]
    without = null_cuts(bootstrap.null.trees, bootstrap.null.merges, numbers)
    labels = cuts(merges, numbers)
    return {
        k: stability(
            labels[k], ambiguous_share(together / len(merges)), cut(bootstrap.tree.Z, k), without[k]
        )
        for k, together in coclassifications(labels)
    }


def relative_pac(pac: float, null_pac: float) -> float:
    """
    Return PAC over PAC without structure; 1 where that is zero and nothing can be less.

    Its ranks are those of log PAC less log PAC without structure.

    References
    ----------
    John, Watson, Russ and others (2020), Scientific Reports 10:1816 (M3C: relative cluster
    stability index; formula from memory).
    """
    return round(pac / null_pac, PRODUCT_DECIMALS) if null_pac > 0 else 1.0


def stability(labels: Array, pac: float, reference: Array, without: NullCut) -> dict[str, float]:
    """Return how stable one cut is, and what the same cut gives without structure."""
    support = cut_support(labels, reference)
    return {
        "minimum_jaccard": float(support.jaccard.min()),
        "mean_jaccard": float(support.jaccard.mean()),
        "null_mean_jaccard": without.mean,
        "null_largest_jaccard": without.limit,
        "pac": pac,
        "null_pac": without.pac,
        "pac_ratio": relative_pac(pac, without.pac),
        "bootstrap_rand": support.rand,
    }


@dataclass(frozen=True)
class Limits:
    """
    What a group needs to hold.

    Attributes
    ----------
    class_size, subclass_size : int
        Terms.
    support : float
        Mean Jaccard coefficient.
    """

    class_size: int
    subclass_size: int
    support: float

    def failure(self, size: int, least: int, jaccard: float, null_limit: float) -> Failure:
        """
        Return why a group does not hold; empty if it does.

        Parameters
        ----------
        size, least : int
        jaccard, null_limit : float
            nan for a group of one term, whose support is not measured.

        Returns
        -------
        Failure
            few_terms, low_support, or chance_support: no better than without structure.
        """
        if size < least:
            return "few_terms"
        if jaccard < self.support:
            return "low_support"
        if jaccard <= null_limit:
            return "chance_support"
        return ""


@dataclass(frozen=True)
class TierChoice:
    """
    Numbers of classes and subclasses, and the mean distance of all pairs.

    Attributes
    ----------
    classes, subclasses : Choice
    chance : float
        Mean distance of all pairs, which dealing the piles at random would not change;
        nan for `ward`, whose heights are no distances.
    mojena : int
        Number of classes by Mojena's rule, outside the range or not; printed, not used.
    """

    classes: Choice
    subclasses: Choice
    chance: float
    mojena: int

    def null_of_classes(self) -> NullCut:
        """Return what the chosen number of classes gives without structure."""
        row = self.classes.row
        return NullCut(row["null_mean_jaccard"], row["null_largest_jaccard"], row["null_pac"])

    def rows(self) -> list[dict[str, Any]]:
        """Return the table of both tiers."""
        return [
            {"tier": tier, **row}
            for tier, choice in (("class", self.classes), ("subclass", self.subclasses))
            for row in choice.rows
        ]


def choose_tiers(bootstrap: Bootstrap, limits: Limits, asked: GroupNumbers) -> TierChoice:
    """
    Choose the numbers of classes and subclasses.

    Parameters
    ----------
    bootstrap : Bootstrap
    limits : Limits
    asked : GroupNumbers

    Returns
    -------
    TierChoice

    Raises
    ------
    ValueError
        If a fixed number does not fit the number of terms or the other one.
    """
    n_terms = len(bootstrap.terms)
    chance = chance_line(bootstrap.distances.pairs, bootstrap.method)

    def pick(
        number: Asked, span: Sequence[int], least: int, most: int, minimum_size: int, words: str
    ) -> Choice:
        if number != "auto" and not least <= number <= n_terms:
            raise ValueError(f"{number} {words} asked for, {least} to {n_terms} are possible")
        looked_at = considered(number, span, least, most)
        rows = judged(bootstrap, looked_at, chance, minimum_size)
        return chosen(rows, number, looked_at, limits.support)

    most_classes, most_subclasses = most_groups(n_terms)
    classes = pick(
        asked.classes, asked.classes_range, FEWEST_CLASSES, most_classes,
        limits.class_size, "classes",
    )  # fmt: skip
    least = min(classes.number + 1, n_terms)
    subclasses = pick(
        asked.subclasses, asked.subclasses_range, least, most_subclasses,
        limits.subclass_size, "subclasses",
    )  # fmt: skip
    mojena = mojena_scores(bootstrap.tree.Z[:, 2], [FEWEST_CLASSES])[1]
    return TierChoice(classes, subclasses, chance, mojena)


def chance_line(pairs: Floats, method: str) -> float:
    """Return the mean of all distances, nan for `ward`, whose heights are no distances."""
    return float("nan") if method == "ward" else round(float(pairs.mean()), DISTANCE_DECIMALS)


def judged(
    bootstrap: Bootstrap, span: Range, chance: float, minimum_size: int
) -> list[dict[str, Any]]:
    """Return every index of every number considered, as `tabulate`."""
    null = bootstrap.null
    return tabulate(
        bootstrap.tree.Z,
        bootstrap.distances.D,
        span.numbers,
        null=(null.trees, null.distances),
        stability=stability_of_cuts(bootstrap, span.numbers),
        chance=chance,
        minimum_size=minimum_size,
    )


def chosen(rows: list[dict[str, Any]], asked: Asked, span: Range, support: float) -> Choice:
    """
    Choose one number of groups, or take the one that is fixed.

    Parameters
    ----------
    rows : list of dict
        As `judged`.
    asked : int or 'auto'
    span : Range
    support : float
        Smallest mean Jaccard coefficient of a group that holds.

    Returns
    -------
    Choice
    """
    recommended, ranks = choose(rows)
    number = recommended if asked == "auto" else asked
    told = [
        {
            **row,
            "supported": row["minimum_jaccard"] >= support
            and row["minimum_jaccard"] > row["null_largest_jaccard"],
            "mean_rank": rank,
            "recommended": row["n_classes"] == recommended,
            "chosen": row["n_classes"] == number,
        }
        for row, rank in zip(rows, ranks, strict=True)
    ]
    return Choice(number, asked != "auto", told, span)
