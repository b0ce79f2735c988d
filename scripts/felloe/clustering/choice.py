"""Choosing the numbers of classes and subclasses from the tree and its replicates."""

from dataclasses import dataclass

from felloe.clustering.class_counts import choose, mojena_scores, tabulate
from felloe.clustering.consensus import ambiguous_share, coclassification
from felloe.clustering.replicate_trees import cuts
from felloe.clustering.support import NullCut, cut_support, null_cuts
from felloe.ground.linkage import cut
from felloe.ground.ranges import clipped, most_groups
from felloe.ground.squares import condensed

# Replicates behind the indices of every cut considered. The index of one cut has a standard
# error below 0.016 then, and the cuts of a range are compared on the same replicates.
REPLICATES = 1000
RULE = (
    "eligible are the numbers in the range whose cut lies below the chance line and does not go "
    "through a tie (if none is left, the second condition is dropped, then the first); among them "
    "the best mean rank over silhouette, gap criterion, height gap, smallest mean Jaccard of a "
    "group, PAC and bootstrap agreement; the smaller number where mean ranks are equal"
)


@dataclass(frozen=True)
class Range:
    """
    Numbers of groups that are considered.

    Attributes
    ----------
    numbers : tuple of int
        Ascending.
    note : str
        Why the range is not the one asked for; empty if it is.
    """

    numbers: tuple
    note: str


def clip_range(asked, least, most, words):
    """
    Fit a range of numbers of groups to what the terms can carry.

    Parameters
    ----------
    asked : (int, int)
    least, most : int
        Smallest and largest number that make sense.
    words : str
        What the groups are called in the note.

    Returns
    -------
    Range
    """
    low, high = clipped(asked, least, most)
    note = ""
    if (low, high) != tuple(asked):
        note = (
            f"{words}: the range {asked[0]} to {asked[1]} became {low} to {high}, "
            "which is what this number of terms can carry"
        )
    return Range(tuple(range(low, high + 1)), note)


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
        As `tabulate`, with `mean_rank`, `recommended` and `chosen`.
    note : str
        Why the range differs from the settings; may be empty.
    """

    number: int
    fixed: bool
    rows: list
    note: str


def stability_of_cuts(Z, merges, numbers, null):
    """
    Measure how stable each cut is.

    Parameters
    ----------
    Z : (N - 1, 4) array of float
    merges : (R, N - 1, 2) array of int
        The first `REPLICATES` are used.
    numbers : sequence of int
    null : Null

    Returns
    -------
    dict of int to dict
    """
    merges = merges[:REPLICATES]
    without = null_cuts(null.trees, null.merges, numbers)
    found = {}
    for k, labels in cuts(merges, numbers).items():
        support = cut_support(labels, cut(Z, k))
        found[k] = {
            "minimum_jaccard": float(support.jaccard.min()),
            "mean_jaccard": float(support.jaccard.mean()),
            "null_mean_jaccard": without[k].mean,
            "null_largest_jaccard": without[k].limit,
            "pac": ambiguous_share(coclassification(labels) / len(merges)),
            "null_pac": without[k].pac,
            "bootstrap_rand": support.rand,
        }
    return found


def considered(asked, span, least, most, words):
    """
    Return the numbers to look at: the range, and a number fixed in the settings.

    Parameters
    ----------
    asked : int or 'auto'
    span : (int, int)
    least, most : int
    words : str

    Returns
    -------
    Range
        Consecutive numbers.

    """
    possible = clip_range(span, least, most, words)
    if asked == "auto":
        return possible
    numbers = possible.numbers
    return Range(tuple(range(min(numbers[0], asked), max(numbers[-1], asked) + 1)), possible.note)


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

    def failure(self, size, least, jaccard, null_limit):
        """
        Return why a group does not hold; empty if it does.

        Parameters
        ----------
        size, least : int
        jaccard, null_limit : float
            nan for a group of one term, whose support is not measured.

        Returns
        -------
        str
        """
        if size < least:
            return f"fewer than {least} terms"
        if jaccard < self.support:
            return f"support below {self.support:g}"
        if jaccard <= null_limit:
            return "support no better than without structure"
        return ""


@dataclass(frozen=True)
class TierChoice:
    """
    Numbers of classes and subclasses, and where merges stop being better than chance.

    Attributes
    ----------
    classes, subclasses : Choice
    chance : float
        Mean distance of all pairs: what two terms would have if piles were dealt at random;
        nan for `ward`, whose heights are no distances.
    mojena : int
        Number of classes by Mojena's rule, outside the range or not; printed, not used.
    """

    classes: Choice
    subclasses: Choice
    chance: float
    mojena: int

    def null_of_classes(self):
        """Return what the chosen number of classes gives without structure."""
        (row,) = [row for row in self.classes.rows if row["chosen"]]
        return NullCut(row["null_mean_jaccard"], row["null_largest_jaccard"], row["null_pac"])

    def rows(self):
        """Return the table of both tiers."""
        return [
            {"tier": tier, **row}
            for tier, choice in (("class", self.classes), ("subclass", self.subclasses))
            for row in choice.rows
        ]


def choose_tiers(Z, D, merges, null, limits, method, classes, subclasses):
    """
    Choose the numbers of classes and subclasses.

    Parameters
    ----------
    Z, D : array of float
    merges : (R, N - 1, 2) array of int
    null : Null
    limits : Limits
    method : str
    classes, subclasses : (asked, range)
        A number or 'auto', and the range [low, high] for 'auto'.

    Returns
    -------
    TierChoice

    Raises
    ------
    ValueError
        If a fixed number does not fit the number of terms or the other one.
    """
    chance = float("nan") if method == "ward" else round(float(condensed(D).mean()), 12)

    def pick(asked, span, least, most, minimum_size, words):
        if asked != "auto" and not least <= asked <= len(D):
            raise ValueError(f"{asked} {words} asked for, {least} to {len(D)} are possible")
        numbers = considered(asked, span, least, most, words)
        return choose_number(
            Z, D, merges, asked, numbers, null, chance, minimum_size, limits.support
        )

    most_classes, most_subclasses = most_groups(len(D))
    of_classes = pick(*classes, 2, most_classes, limits.class_size, "classes")
    least = min(of_classes.number + 1, len(D))
    of_subclasses = pick(*subclasses, least, most_subclasses, limits.subclass_size, "subclasses")
    return TierChoice(of_classes, of_subclasses, chance, mojena_scores(Z[:, 2], [2])[1])


def choose_number(Z, D, merges, asked, span, null, chance, minimum_size, support):
    """
    Choose one number of groups, or judge the one that is fixed.

    Parameters
    ----------
    Z, D : array of float
    merges : (R, N - 1, 2) array of int
    asked : int or 'auto'
    span : Range
    null : Null
    chance : float
    minimum_size : int
    support : float
        Smallest mean Jaccard coefficient of a group that holds.

    Returns
    -------
    Choice
    """
    stability = stability_of_cuts(Z, merges, span.numbers, null)
    pairs = list(zip(null.trees, null.distances, strict=True))
    rows = tabulate(Z, D, list(span.numbers), pairs, stability, chance, minimum_size)
    recommended, ranks = choose(rows)
    number = recommended if asked == "auto" else asked
    for row, rank in zip(rows, ranks, strict=True):
        least = row["minimum_jaccard"]
        row["supported"] = least >= support and least > row["null_largest_jaccard"]
        row["mean_rank"] = rank
        row["recommended"] = row["n_classes"] == recommended
        row["chosen"] = row["n_classes"] == number
    return Choice(number, asked != "auto", rows, span.note)
